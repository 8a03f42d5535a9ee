package look

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/film"
)

// Step is a step of the look.
type Step string

// The steps in their order, which is fixed: docs/look.md says why.
const (
	StepTrim      Step = "trim"      // brings a setup to the others
	StepExposure  Step = "exposure"  // in linear light
	StepWhite     Step = "white"     // in linear light
	StepCDL       Step = "cdl"       // in encoded values, as all that follow
	StepCurve     Step = "curve"     //
	StepA         Step = "lut-a"     //
	StepB         Step = "lut-b"     //
	StepEdge      Step = "edge"      // depends on the place in the picture
	StepLetterbox Step = "letterbox" // the same
)

// Order is the order of the steps. Those up to StepB depend on the colour alone
// and are baked into one table.
var Order = [...]Step{
	StepTrim, StepExposure, StepWhite, StepCDL, StepCurve, StepA, StepB, StepEdge, StepLetterbox,
}

// baked is how many steps of Order go into the table.
const baked = 7

// Look is the grade of a film. Its zero value changes nothing.
type Look struct {
	// Encoding tells how numbers become linear light for exposure and white;
	// "" is BT709. With ACEScct, the look takes logarithmic pictures, and LUT A
	// must bring them to BT.709.
	Encoding      Encoding   `json:"encoding,omitempty"`
	ExposureStops float64    `json:"exposure_stops,omitempty"` // -8 to 8
	White         White      `json:"white,omitzero"`
	CDL           *film.CDL  `json:"cdl,omitempty"`
	Curve         []Knot     `json:"curve,omitempty"`
	A             Layer      `json:"lut_a,omitzero"`
	B             Layer      `json:"lut_b,omitzero"`
	Placing       Placing    `json:"lut_b_placing,omitempty"` // "" is Over
	Edge          Edge       `json:"edge,omitzero"`
	Letterbox     film.Shape `json:"letterbox,omitempty"` // "" is none
	Off           []Step     `json:"off,omitempty"`       // switched off, their settings kept
}

// Layer is a LUT and how strongly it is laid on.
type Layer struct {
	File          string             `json:"file,omitempty"`     // its name in the film's folder
	Strength      float64            `json:"strength,omitempty"` // 0 to 1
	Interpolation film.Interpolation `json:"interpolation,omitempty"`
}

// Placing says what LUT B works on.
type Placing string

// With A the result of LUT A's step and b the strength of B: Over is
// (1-b)·A + b·B(A), Beside is (1-b)·A + b·B(what LUT A was given).
const (
	Over   Placing = "over"
	Beside Placing = "beside"
)

// Trim is the small correction of one setup, before the film's look. Its zero
// value changes nothing.
type Trim struct {
	ExposureStops    float64 `json:"exposure_stops,omitempty"`    // -8 to 8
	TemperatureMired float64 `json:"temperature_mired,omitempty"` // as White.ShiftMired
	Tint             float64 `json:"tint,omitempty"`              // as White.Tint
	Saturation       float64 `json:"saturation,omitempty"`        // a gain less 1: 0 leaves it, -1 takes all colour away; -1 to 1
}

// On reports whether a step is not switched off.
func (l Look) On(s Step) bool { return !slices.Contains(l.Off, s) }

const mostStops = 8

// Chain is the steps of a look that depend on the colour alone, ready to use.
type Chain struct {
	look  Look
	trim  Trim
	a, b  *film.LUT
	steps [baked]stepFunc // nil where a step does nothing
}

// stepFunc takes a colour on; given is what LUT A was given.
type stepFunc func(c, given RGB) RGB

// NewChain prepares a look with a setup's trim. The LUTs that the layers name
// are read elsewhere and given as a and b, nil for a layer without one. Settings
// out of reach give a *film.Error with film.CodeUsage.
func NewChain(l Look, t Trim, a, b *film.LUT) (*Chain, error) {
	if l.Encoding == "" {
		l.Encoding = BT709
	}
	if l.Placing == "" {
		l.Placing = Over
	}
	if err := check(l, t, a, b); err != nil {
		return nil, err
	}
	c := &Chain{look: l, trim: t, a: a, b: b}
	for i, s := range Order[:baked] {
		if !l.On(s) {
			continue
		}
		f, err := c.step(s)
		if err != nil {
			return nil, err
		}
		c.steps[i] = f
	}
	return c, nil
}

func check(l Look, t Trim, a, b *film.LUT) error {
	if err := l.Encoding.known(); err != nil {
		return err
	}
	for _, s := range l.Off {
		if !slices.Contains(Order[:], s) {
			return usage(fmt.Sprintf("%q is not a step of the look", string(s)), "take it out of the list of steps that are off")
		}
	}
	for _, stops := range []float64{l.ExposureStops, t.ExposureStops} {
		if !(math.Abs(stops) <= mostStops) {
			return usage(fmt.Sprintf("an exposure of %g stops is out of reach", stops), "choose -8 to 8 stops")
		}
	}
	if err := l.White.check(); err != nil {
		return err
	}
	if err := t.white().check(); err != nil {
		return err
	}
	if !(math.Abs(t.Saturation) <= 1) {
		return usage(fmt.Sprintf("a saturation trim of %g is out of reach", t.Saturation), "choose -1 to 1")
	}
	for _, layer := range []struct {
		Layer
		lut *film.LUT
	}{{l.A, a}, {l.B, b}} {
		if !(layer.Strength >= 0 && layer.Strength <= 1) {
			return usage(fmt.Sprintf("a LUT's strength of %g", layer.Strength), "choose 0 to 1")
		}
		if layer.File != "" && layer.Strength > 0 && layer.lut == nil {
			return usage(fmt.Sprintf("the LUT %q is not there", layer.File), "put the file back, or choose another")
		}
	}
	if l.Placing != Over && l.Placing != Beside {
		return usage(fmt.Sprintf("a second LUT cannot lie %q", string(l.Placing)), "choose over or beside")
	}
	if d := l.CDL; d != nil {
		for i := range 3 {
			if !(d.Slope[i] >= 0) || !(d.Power[i] > 0) || math.IsNaN(d.Offset[i]) || !(d.Saturation >= 0) {
				return usage("the colour decision has a slope or saturation below 0, or a power that is not above 0", "set them to 1 again")
			}
		}
	}
	return l.Edge.check()
}

func (t Trim) white() White { return White{Tint: t.Tint, ShiftMired: t.TemperatureMired} }

// step returns what a step does, nil when it does nothing.
func (c *Chain) step(s Step) (stepFunc, error) {
	l := c.look
	switch s {
	case StepTrim:
		if c.trim != (Trim{}) {
			return alone(trimmer(c.trim, l.Encoding)), nil
		}
	case StepExposure:
		if l.ExposureStops != 0 {
			return alone(inLight(l.Encoding, exposure(l.ExposureStops))), nil
		}
	case StepWhite:
		if !l.White.neutral() {
			return alone(inLight(l.Encoding, l.White.matrix(l.Encoding))), nil
		}
	case StepCDL:
		if l.CDL != nil {
			return alone(func(c RGB) RGB { return ApplyCDL(*l.CDL, c) }), nil
		}
	case StepCurve:
		if len(l.Curve) == 0 {
			break
		}
		curve, err := NewCurve(l.Curve)
		return alone(func(c RGB) RGB { return RGB{curve.At(c[0]), curve.At(c[1]), curve.At(c[2])} }), err
	case StepA:
		if c.a != nil && l.A.Strength > 0 {
			return alone(func(v RGB) RGB { return mix(l.A.Strength, v, ApplyLUT(*c.a, l.A.Interpolation, v)) }), nil
		}
	case StepB:
		if c.b != nil && l.B.Strength > 0 {
			return func(v, given RGB) RGB {
				if l.Placing == Over {
					given = v
				}
				return mix(l.B.Strength, v, ApplyLUT(*c.b, l.B.Interpolation, given))
			}, nil
		}
	}
	return nil, nil
}

func alone(f func(RGB) RGB) stepFunc { return func(c, _ RGB) RGB { return f(c) } }

func exposure(stops float64) matrix {
	gain := math.Exp2(stops)
	return diagonal(RGB{gain, gain, gain})
}

// inLight does a matrix in linear light.
func inLight(e Encoding, m matrix) func(RGB) RGB {
	return func(c RGB) RGB { return e.encode(m.of(e.decode(c))) }
}

func trimmer(t Trim, e Encoding) func(RGB) RGB {
	light := inLight(e, exposure(t.ExposureStops).times(t.white().matrix(e)))
	return func(c RGB) RGB { return Saturate(1+t.Saturation, light(c)) }
}

// mix goes a share of the way from one colour to another.
func mix(share float64, from, to RGB) RGB {
	for i := range from {
		from[i] += share * (to[i] - from[i])
	}
	return from
}

// Apply takes an encoded colour through the chain. The result may lie beyond
// 0..1; whoever shows it clamps it.
func (c *Chain) Apply(v RGB) RGB {
	given := v
	for i, f := range c.steps {
		if Order[i] == StepA {
			given = v
		}
		if f != nil {
			v = f(v, given)
		}
	}
	return v
}

// Without returns the chain with a step left out.
func (c *Chain) Without(s Step) *Chain {
	less := *c
	if i := slices.Index(Order[:baked], s); i >= 0 {
		less.steps[i] = nil
	}
	return &less
}
