package picture_test

import (
	"fmt"

	"takeweave/internal/film"
	"takeweave/internal/picture"
)

// A pass that is lit evenly, until a lamp goes off. Colour pictures come five
// times a second; every fifth is searched for faces.
func Example() {
	const width, height = 416, 234
	meter, err := picture.New(width, height, film.Rate{Num: 5, Den: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	finder, err := picture.NewFinder(width)
	if err != nil {
		fmt.Println(err)
		return
	}
	var looks []picture.Look
	rgb, grey := make([]byte, 3*width*height), make([]byte, width*height)
	for i := range 20 {
		level := byte(120)
		if i >= 12 {
			level = 80
		}
		for k := range rgb {
			rgb[k] = level
		}
		picture.Grey(grey, rgb)
		meter.Add(grey)
		if i%5 == 0 {
			looks = append(looks, picture.Look{At: film.PassTime(i) / 5, Faces: finder.Find(rgb, width, height)})
		}
	}
	subject := picture.Subject(looks)
	reading := meter.Result(0, subject)
	fmt.Println("the subject was seen", len(subject), "times")
	for i, grade := range reading.Grades(reading.Best) {
		if grade.Value < 1 {
			fmt.Printf("%.1f s: %.2f, %v\n", reading.At(i), grade.Value, grade.Words)
		}
	}
	// Output:
	// the subject was seen 0 times
	// 2.4 s: 0.50, [jumps]
}
