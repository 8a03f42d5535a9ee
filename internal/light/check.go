package light

import (
	"fmt"

	"takeweave/internal/film"
)

func usage(msg, hint string) error { return &film.Error{Code: film.CodeUsage, Msg: msg, Hint: hint} }

func (s Scene) check() error {
	if e := s.Exposure; !(e.Stop > 0 && e.Seconds > 0 && e.ISO > 0 && e.NDStops >= 0) {
		return usage("the exposure is not whole", "give stop, time and ISO")
	}
	if len(s.Lamps) == 0 {
		return usage("no lamp is there to be judged", "give a lamp first")
	}
	for _, l := range s.Lamps {
		if err := l.check(); err != nil {
			return err
		}
	}
	for _, p := range s.Practicals {
		if p.Luminance < 0 {
			return usage(fmt.Sprintf("practical %q has a luminance below nothing", p.Name), "give cd/m², or 0 if it was not measured")
		}
	}
	return nil
}

func (l Lamp) check() error {
	switch {
	case l.Role != Key && l.Role != Fill && l.Role != Back:
		return usage(fmt.Sprintf("lamp %q is a %q, which lamps are not", l.Name, string(l.Role)), "use key, fill or back")
	case !(l.dial() > 0 && l.LeastLux >= 0) || l.MostLux != 0 && l.MostLux < l.LeastLux || l.DialLux > l.top():
		return usage(fmt.Sprintf("the light of lamp %q does not fit its dial", l.Name), "give lux at the dial's bottom and top, and as set between them")
	case !(l.DistanceM > 0) || l.RadiusM < 0 || l.MeasuredM < 0:
		return usage(fmt.Sprintf("lamp %q stands nowhere", l.Name), "give its distance and radius in metres")
	}
	return nil
}
