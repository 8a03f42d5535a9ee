package interchange

import (
	"math"
	"strings"

	"takeweave/internal/film"
)

// parameters calls set for the channels (0 to 2) that each child of the given
// name is for: one without a channel is for all of them.
func parameters(e *element, name string, set func(p *element, channel int) error) error {
	if err := e.only("Description", name); err != nil {
		return err
	}
	var seen [3]bool
	for _, p := range e.all(name) {
		channels := []int{0, 1, 2}
		if c, given := p.attrs["channel"]; given {
			k := strings.Index("RGB", c)
			if k < 0 || len(c) != 1 {
				return faultf(p.line, "%s has the channel %q", name, c)
			}
			channels = []int{k}
		}
		for _, k := range channels {
			if seen[k] {
				return faultf(p.line, "%s stands twice for channel %c", name, "RGB"[k])
			}
			seen[k] = true
			if err := set(p, k); err != nil {
				return err
			}
		}
	}
	return nil
}

// attribute reads a number from an attribute if it is there.
func (e *element) attribute(name string, to *float64) (given bool, err error) {
	s, given := e.attrs[name]
	if !given {
		return false, nil
	}
	*to, err = number(s, e.line)
	return true, err
}

// logStyles tells inverse and camera of each style with parameters; those
// without have a fixed base.
var logStyles = map[string]film.LogCurves{
	"linToLog": {}, "logToLin": {Inverse: true},
	"cameraLinToLog": {Camera: true}, "cameraLogToLin": {Camera: true, Inverse: true},
	"log2": {}, "antiLog2": {Inverse: true}, "log10": {}, "antiLog10": {Inverse: true},
}

func clfLog(e *element, _ depths) (film.LUTStep, error) {
	style := e.attrs["style"]
	l, known := logStyles[style]
	if !known {
		return nil, faultf(e.line, "Log has the style %q", style)
	}
	base := 2.0
	if strings.HasSuffix(style, "og10") {
		base = 10
	}
	for i := range l.Channel {
		l.Channel[i] = film.LogCurve{Base: base, LogSlope: 1, LinSlope: 1}
	}
	if strings.Contains(strings.ToLower(style), "log2") || strings.HasSuffix(style, "og10") {
		return l, e.only("Description")
	}
	set := 0
	err := parameters(e, "LogParams", func(p *element, k int) error {
		set++
		return logParams(p, l.Camera, &l.Channel[k])
	})
	switch {
	case err != nil:
		return nil, err
	case set != 3:
		return nil, faultf(e.line, "Log has parameters for %d channels instead of 3", set)
	}
	return l, nil
}

func logParams(p *element, camera bool, c *film.LogCurve) error {
	for _, a := range []struct {
		name string
		to   *float64
	}{
		{"base", &c.Base},
		{"logSideSlope", &c.LogSlope},
		{"logSideOffset", &c.LogOffset},
		{"linSideSlope", &c.LinSlope},
		{"linSideOffset", &c.LinOffset},
	} {
		if _, err := p.attribute(a.name, a.to); err != nil {
			return err
		}
	}
	if c.Base <= 0 || c.Base == 1 || c.LogSlope == 0 || c.LinSlope == 0 {
		return faultf(p.line, "base must be above 0 and not 1, slopes not 0")
	}
	hasBreak, err := p.attribute("linSideBreak", &c.Break)
	if err != nil {
		return err
	}
	hasSlope, err := p.attribute("linearSlope", &c.LinearSlope)
	if err != nil {
		return err
	}
	switch {
	case !camera && (hasBreak || hasSlope):
		return faultf(p.line, "linSideBreak and linearSlope belong to the camera styles")
	case !camera:
		return nil
	case !hasBreak:
		return faultf(p.line, "a camera style has no linSideBreak")
	case c.LinSlope*c.Break+c.LinOffset <= 0:
		return faultf(p.line, "at linSideBreak there is no logarithm")
	}
	if !hasSlope { // the logarithm's own at the break
		c.LinearSlope = c.LogSlope * c.LinSlope / ((c.LinSlope*c.Break + c.LinOffset) * math.Log(c.Base))
	}
	if c.LinearSlope == 0 {
		return faultf(p.line, "linearSlope is 0")
	}
	return nil
}

func clfExponent(e *element, _ depths) (film.LUTStep, error) {
	style := e.attrs["style"]
	s := film.PowerCurves{Exponent: [3]float64{1, 1, 1}}
	name, forward := strings.CutSuffix(style, "Fwd")
	if !forward {
		name, s.Inverse = strings.CutSuffix(style, "Rev")
	}
	s.Style = film.PowerStyle(name)
	monitor := s.Style == film.PowerMonitor || s.Style == film.PowerMonitorMirror
	plain := s.Style == film.PowerPlain || s.Style == film.PowerMirror || s.Style == film.PowerPass
	if forward == s.Inverse || !monitor && !plain {
		return nil, faultf(e.line, "Exponent has the style %q", style)
	}
	set := 0
	err := parameters(e, "ExponentParams", func(p *element, k int) error {
		set++
		given, err := p.attribute("exponent", &s.Exponent[k])
		if err != nil {
			return err
		}
		hasOffset, err := p.attribute("offset", &s.Offset[k])
		if err != nil {
			return err
		}
		// The limits are the published reference implementation's: [OCIO].
		switch x, offset := s.Exponent[k], s.Offset[k]; {
		case !given:
			return faultf(p.line, "ExponentParams has no exponent")
		case monitor && (x < 1 || x > 10):
			return faultf(p.line, "exponent %g of a monCurve is not within 1 to 10", x)
		case plain && (x < 0.01 || x > 100):
			return faultf(p.line, "exponent %g is not within 0.01 to 100", x)
		case monitor && !hasOffset:
			return faultf(p.line, "a monCurve has no offset")
		case monitor && (offset < 0 || offset > 0.9):
			return faultf(p.line, "offset %g of a monCurve is not within 0 to 0.9", offset)
		case plain && hasOffset:
			return faultf(p.line, "offset belongs to the monCurve styles")
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case set == 0:
		return nil, faultf(e.line, "Exponent has no ExponentParams")
	}
	return s, nil
}
