package crop_test

import (
	"fmt"

	"takeweave/internal/crop"
	"takeweave/internal/film"
)

// An upright film out of a wide clip, in which the singer sits left of the middle.
func ExampleFollow() {
	window, err := crop.Largest(1920, 1080, "9:16")
	if err != nil {
		fmt.Println(err)
		return
	}
	width, height, _ := crop.Output("9:16", 1920, 1080)
	_, warning := window.Enlarges(width, height)
	fmt.Println(warning)

	singer := []crop.Sighting{
		{At: 61, Box: crop.Box{X: 0.25, Y: 0.2, W: 0.2, H: 0.8}, Confidence: 0.9},
		{At: 63, Box: crop.Box{X: 0.27, Y: 0.2, W: 0.2, H: 0.8}, Confidence: 0.9},
	}
	shot := crop.Stretch{From: 60, Speed: 1, Frames: 100, Rate: film.Rate{Num: 25, Den: 1}}
	path := crop.Follow(window, singer, shot, crop.Centre)
	fmt.Println(path.Stands(), path.At(0))

	left := crop.NewTable(path, singer).Leaves(60, 64)
	fmt.Printf("%.0f %% of the singer is outside\n", 100*left.Share)
	// Output:
	// 608 x 1080 pixels are enlarged 1.78 times to fill 1080 x 1920
	// true {388 0 608 1080}
	// 0 % of the singer is outside
}

func ExampleCore() {
	core, kept, err := crop.Core(1920, 1080, []film.Shape{"16:9", "2.39:1", "9:16"}, crop.Centre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("keep what matters within %d x %d\n", core.W, core.H)
	for _, k := range kept {
		fmt.Printf("%s loses %.1f %% of the headroom\n", k.Shape, 100*k.Top)
	}
	// Output:
	// keep what matters within 608 x 804
	// 16:9 loses 0.0 % of the headroom
	// 2.39:1 loses 12.8 % of the headroom
	// 9:16 loses 0.0 % of the headroom
}
