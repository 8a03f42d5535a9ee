package interchange

import (
	"math"
	"strings"

	"takeweave/internal/film"
)

// clfSpace is the XML namespace of CLF files by SMPTE ST 2136-1.
const clfSpace = "http://www.smpte-ra.org/ns/2136-1/2024"

// ReadCLF reads a Common LUT Format file of version 3: LUT1D, LUT3D, Matrix,
// Range, Log, Exponent and ASC_CDL nodes. Elements that the format does not know
// are refused outside Info; attributes it does not know are passed over.
//
// Source: [CLF3]; where its text leaves a case open we do as its published
// reference implementation [OCIO] does.
func ReadCLF(text []byte, path string) (film.LUT, error) {
	l, err := readCLF(text)
	if err != nil {
		return film.LUT{}, refuseLUT(path, "CLF file", err)
	}
	return l, nil
}

// clfNodes are the nodes that do something.
var clfNodes = map[string]func(*element, depths) (film.LUTStep, error){
	"LUT1D": clfTable1D, "LUT3D": clfTable3D, "Matrix": clfMatrix, "Range": clfRange,
	"Log": clfLog, "Exponent": clfExponent, "ASC_CDL": clfCDL,
}

func readCLF(text []byte) (film.LUT, error) {
	var l film.LUT
	root, err := parseXML(text)
	if err != nil {
		return l, err
	}
	if root.name != "ProcessList" {
		return l, faultf(root.line, "%s is not the beginning of a CLF file", root.name)
	}
	if v := root.attrs["compCLFversion"]; v != "3" && v != "3.0" && (v != "" || root.space != clfSpace) {
		return l, faultf(root.line, "compCLFversion is %q, and only 3.0 is read", v)
	}
	l.Title, l.Notes = root.attrs["name"], root.notes()
	var before string
	for _, e := range root.children {
		switch e.name {
		case "Description", "Info", "Id":
			continue
		case "InputDescriptor":
			l.Expects = strings.Join(e.words(), " ")
			continue
		case "OutputDescriptor":
			l.Gives = strings.Join(e.words(), " ")
			continue
		}
		read, known := clfNodes[e.name]
		if !known {
			return l, faultf(e.line, "%s is not an element of a ProcessList", e.name)
		}
		d, err := clfDepths(e, before)
		if err != nil {
			return l, err
		}
		before = e.attrs["outBitDepth"]
		step, err := read(e, d)
		if err != nil {
			return l, err
		}
		l.Steps = append(l.Steps, step)
	}
	if len(l.Steps) == 0 {
		return l, faultf(root.line, "the ProcessList does nothing: it holds no node")
	}
	return l, nil
}

// depths are the full scales in which a node's parameters count.
type depths struct{ in, out float64 }

// fullScale of a bit depth by its name. Source: [CLF3].
var fullScale = map[string]float64{"8i": 255, "10i": 1023, "12i": 4095, "16i": 65535, "16f": 1, "32f": 1}

// clfDepths reads the bit depths of a node that follows one with the given
// outBitDepth, "" for the first.
func clfDepths(e *element, before string) (d depths, err error) {
	for _, end := range []struct {
		attr string
		to   *float64
	}{{"inBitDepth", &d.in}, {"outBitDepth", &d.out}} {
		v, given := e.attrs[end.attr]
		if !given {
			return d, faultf(e.line, "%s has no %s", e.name, end.attr)
		}
		scale, known := fullScale[v]
		if !known {
			return d, faultf(e.line, "%s has the %s %q", e.name, end.attr, v)
		}
		*end.to = scale
	}
	if in := e.attrs["inBitDepth"]; before != "" && in != before {
		return d, faultf(e.line, "%s takes %s, but the node before gives %s", e.name, in, before)
	}
	return d, nil
}

// clfArray returns the numbers of the node's Array and their number in each
// dimension.
func clfArray(e *element, dimensions int) (v []float64, dim []int, err error) {
	if err := e.only("Description", "Array"); err != nil {
		return nil, nil, err
	}
	arrays := e.all("Array")
	if len(arrays) != 1 {
		return nil, nil, faultf(e.line, "%s has %d Arrays instead of 1", e.name, len(arrays))
	}
	a := arrays[0]
	words := strings.Fields(a.attrs["dim"])
	if len(words) != dimensions {
		return nil, nil, faultf(a.line, "the dim %q of %s has not %d numbers", a.attrs["dim"], e.name, dimensions)
	}
	n := 1
	for _, w := range words {
		k, err := count(w, a.line, 1, maxCubePoints)
		if err != nil {
			return nil, nil, err
		}
		dim, n = append(dim, k), n*k
		if n > 3*film.MaxTable3D*film.MaxTable3D*film.MaxTable3D {
			return nil, nil, faultf(a.line, "the dim %q is too large", a.attrs["dim"])
		}
	}
	v, err = a.numbers(n)
	return v, dim, err
}

func clfTable1D(e *element, d depths) (film.LUTStep, error) {
	for _, flag := range []string{"halfDomain", "rawHalfs"} {
		if v, given := e.attrs[flag]; given && v != "true" {
			return nil, faultf(e.line, "%s may only be true", flag)
		}
	}
	if how, given := e.attrs["interpolation"]; given && how != "linear" {
		return nil, faultf(e.line, "LUT1D has the interpolation %q", how)
	}
	v, dim, err := clfArray(e, 2)
	if err != nil {
		return nil, err
	}
	n, channels := dim[0], dim[1]
	t := film.Table1D{Max: [3]float64{1, 1, 1}, HalfDomain: e.attrs["halfDomain"] == "true"}
	switch {
	case channels != 1 && channels != 3:
		return nil, faultf(e.line, "LUT1D has %d channels instead of 1 or 3", channels)
	case n < 2:
		return nil, faultf(e.line, "LUT1D has %d point", n)
	case t.HalfDomain && n != maxCubePoints:
		return nil, faultf(e.line, "LUT1D with halfDomain has %d points instead of %d", n, maxCubePoints)
	}
	t.Values = make([][3]float32, n)
	for i := range t.Values {
		for c := range 3 {
			x := v[i*channels+min(c, channels-1)]
			if e.attrs["rawHalfs"] == "true" {
				if x != math.Trunc(x) || x < 0 || x >= maxCubePoints {
					return nil, faultf(e.line, "%g is not the bits of a half float", x)
				}
				x = film.HalfValue(uint16(x)) * d.out // bits stand for the value itself
			}
			t.Values[i][c] = float32(x / d.out)
		}
	}
	return t, nil
}

func clfTable3D(e *element, d depths) (film.LUTStep, error) {
	t := film.Table3D{Max: [3]float64{1, 1, 1}, Interpolation: film.Trilinear}
	if how, given := e.attrs["interpolation"]; given {
		t.Interpolation = film.Interpolation(how)
		if t.Interpolation != film.Trilinear && t.Interpolation != film.Tetrahedral {
			return nil, faultf(e.line, "LUT3D has the interpolation %q", how)
		}
	}
	v, dim, err := clfArray(e, 4)
	if err != nil {
		return nil, err
	}
	n := dim[0]
	if dim[1] != n || dim[2] != n || dim[3] != 3 || n < 2 || n > film.MaxTable3D {
		return nil, faultf(e.line, "LUT3D has the size %v, and only N N N 3 with N of 2 to %d is read", dim, film.MaxTable3D)
	}
	t.Size, t.Values = n, make([][3]float32, n*n*n)
	for at := range t.Values { // in the file blue runs fastest
		b, g, r := at%n, at/n%n, at/(n*n)
		for c := range 3 {
			t.Values[r+n*(g+n*b)][c] = float32(v[3*at+c] / d.out)
		}
	}
	return t, nil
}

func clfMatrix(e *element, d depths) (film.LUTStep, error) {
	v, dim, err := clfArray(e, 2)
	if err != nil {
		return nil, err
	}
	if dim[0] != 3 || dim[1] != 3 && dim[1] != 4 {
		return nil, faultf(e.line, "Matrix has the size %v instead of 3 3 or 3 4", dim)
	}
	var m film.ColourMatrix
	for r := range 3 {
		for c := range dim[1] {
			m[r][c] = v[r*dim[1]+c] / d.out
			if c < 3 {
				m[r][c] *= d.in
			}
		}
	}
	return m, nil
}

func clfRange(e *element, d depths) (film.LUTStep, error) {
	if err := e.only("Description", "minInValue", "maxInValue", "minOutValue", "maxOutValue"); err != nil {
		return nil, err
	}
	value := func(name string, scale float64) (float64, bool, error) {
		c := e.child(name)
		if c == nil {
			return 0, false, nil
		}
		v, err := c.numbers(1)
		if err != nil {
			return 0, false, err
		}
		return v[0] / scale, true, nil
	}
	var at [4]float64
	var given [4]bool
	for i, name := range []string{"minInValue", "maxInValue", "minOutValue", "maxOutValue"} {
		var err error
		if at[i], given[i], err = value(name, []float64{d.in, d.out}[i/2]); err != nil {
			return nil, err
		}
	}
	clamps := true
	switch style, is := e.attrs["style"]; {
	case is && style == "noClamp":
		clamps = false
	case is && style != "Clamp":
		return nil, faultf(e.line, "Range has the style %q", style)
	}
	low, high := given[0], given[1]
	switch {
	case given[2] != low || given[3] != high:
		return nil, faultf(e.line, "Range has a limit for only one of in and out")
	case !low && !high:
		return nil, faultf(e.line, "Range has no limits")
	case !clamps && !(low && high):
		return nil, faultf(e.line, "Range with the style noClamp needs both limits")
	case low && high && (at[0] >= at[1] || at[2] > at[3]):
		return nil, faultf(e.line, "Range has a least value that is not below its greatest")
	}
	r := film.ColourRange{Scale: 1, Low: math.Inf(-1), High: math.Inf(1)}
	switch {
	case low && high:
		r.Scale = (at[3] - at[2]) / (at[1] - at[0])
		r.Offset = at[2] - at[0]*r.Scale
	case low:
		r.Offset = at[2] - at[0]
	default:
		r.Offset = at[3] - at[1]
	}
	if low && clamps {
		r.Low = at[2]
	}
	if high && clamps {
		r.High = at[3]
	}
	return r, nil
}

func clfCDL(e *element, _ depths) (film.LUTStep, error) {
	if err := e.only("Description", "SOPNode", "SatNode"); err != nil {
		return nil, err
	}
	c, err := correction(e, "SOPNode", "SatNode")
	if err != nil {
		return nil, err
	}
	switch style, given := e.attrs["style"]; {
	case !given || style == "Fwd":
	case style == "Rev":
		c.Inverse = true
	case style == "FwdNoClamp":
		c.NoClamp = true
	case style == "RevNoClamp":
		c.Inverse, c.NoClamp = true, true
	default:
		return nil, faultf(e.line, "ASC_CDL has the style %q", style)
	}
	if c.Inverse && (c.Slope[0] == 0 || c.Slope[1] == 0 || c.Slope[2] == 0 || c.Saturation == 0) {
		return nil, faultf(e.line, "slope or saturation 0 has no inverse")
	}
	return c, nil
}
