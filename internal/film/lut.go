package film

// LUT is a colour transform as a file carries it: steps on R, G and B, in order.
// Whatever bit depth a file counts in, 1 is full scale here. Package interchange
// reads and writes it, package look applies it.
type LUT struct {
	Title   string
	Notes   []string  // the file's own descriptions
	Expects string    // what goes in, in the file's words; "" when it does not say
	Gives   string    // what comes out, likewise
	Steps   []LUTStep // Table1D, Table3D, ColourMatrix, ColourRange, LogCurves, PowerCurves, CDL
}

// LUTStep is one operation of a LUT.
type LUTStep interface{ lutStep() }

// Table1D is a curve per channel, straight between its points. Point i of n
// stands at Min + (Max-Min)·i/(n-1); beyond the domain the end points hold.
//
// With HalfDomain there are 65536 points and point i stands at the value of the
// IEEE 754 half-precision float with the bits i; Min and Max are not used.
type Table1D struct {
	Min, Max   [3]float64
	HalfDomain bool
	Values     [][3]float32
}

// Interpolation says how a Table3D goes between its points.
type Interpolation string

// The ways between eight corners.
const (
	Trilinear   Interpolation = "trilinear"
	Tetrahedral Interpolation = "tetrahedral"
)

// Table3D is a cube of Size³ colours over the domain Min..Max, red running
// fastest: the colour of the points (r, g, b) is Values[r + Size·(g + Size·b)].
// Beyond the domain its faces hold.
type Table3D struct {
	Min, Max      [3]float64
	Size          int
	Interpolation Interpolation
	Values        [][3]float32
}

// MaxTable3D is the most points a side of a Table3D that is read or made: 129
// points are 2.1 million colours.
const MaxTable3D = 129

// ColourMatrix takes (R, G, B, 1) to R, G, B: rows first, the fourth column is
// added.
type ColourMatrix [3][4]float64

// ColourRange is in·Scale + Offset, held within Low..High, which may be
// infinite.
type ColourRange struct{ Scale, Offset, Low, High float64 }

// LogCurves is a logarithm per channel, or its inverse.
type LogCurves struct {
	Inverse bool // from logarithm to linear
	Camera  bool // below Break the curve is straight
	Channel [3]LogCurve
}

// LogCurve is LogSlope·log(LinSlope·x + LinOffset)/log(Base) + LogOffset. A
// camera's is a straight line of slope LinearSlope for x up to Break, joined
// without a step.
type LogCurve struct {
	Base, LogSlope, LogOffset, LinSlope, LinOffset float64
	Break, LinearSlope                             float64
}

// PowerStyle says what a power curve does below 0 and near it.
type PowerStyle string

// The styles: a plain power holds 0 below 0, mirrors, or passes negatives; a
// monitor curve has a straight foot, which negatives follow, or mirrors.
const (
	PowerPlain         PowerStyle = "basic"
	PowerMirror        PowerStyle = "basicMirror"
	PowerPass          PowerStyle = "basicPassThru"
	PowerMonitor       PowerStyle = "monCurve"
	PowerMonitorMirror PowerStyle = "monCurveMirror"
)

// PowerCurves is a power per channel, or its inverse. Offset belongs to the
// monitor styles.
type PowerCurves struct {
	Style            PowerStyle
	Inverse          bool
	Exponent, Offset [3]float64
}

// CDL is the colour decision of the American Society of Cinematographers:
// (in·Slope + Offset)^Power a channel, then saturation.
type CDL struct {
	ID         string     `json:"id,omitempty"`
	Notes      []string   `json:"notes,omitempty"`
	Slope      [3]float64 `json:"slope"`      // 0 and more
	Offset     [3]float64 `json:"offset"`     //
	Power      [3]float64 `json:"power"`      // above 0
	Saturation float64    `json:"saturation"` // 0 and more
	NoClamp    bool       `json:"no_clamp,omitempty"`
	Inverse    bool       `json:"inverse,omitempty"`
}

// NeutralCDL changes nothing within 0..1.
func NeutralCDL() CDL {
	one := [3]float64{1, 1, 1}
	return CDL{Slope: one, Power: one, Saturation: 1}
}

func (Table1D) lutStep()      {}
func (Table3D) lutStep()      {}
func (ColourMatrix) lutStep() {}
func (ColourRange) lutStep()  {}
func (LogCurves) lutStep()    {}
func (PowerCurves) lutStep()  {}
func (CDL) lutStep()          {}
