package optics_test

import (
	"fmt"

	"takeweave/internal/optics"
)

func ExampleSetup_Fit() {
	s := optics.Setup{
		Sensor: optics.Sensor{WidthMM: 36, HeightMM: 20.25}, PixelsW: 3840, PixelsH: 2160,
		FocalMM: 40, Stop: 2, DistanceM: 2.2,
	}
	fit, err := s.Fit("2.39:1", 0, 0.80, optics.Usual())
	if err != nil {
		panic(err)
	}
	fmt.Println(fit)
	// Output: frame 1.98 × 1.11 m, kept 0.83 m, you need 0.91 m: step back to 2.41 m or use 36 mm
}
