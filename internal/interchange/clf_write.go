package interchange

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"takeweave/internal/film"
)

// WriteCLF writes a LUT as a Common LUT Format file of version 3 with the given
// id, all in 32-bit floats. A table whose domain is not 0..1 gets a Matrix before
// it that brings its domain there.
//
// Source: [CLF3].
func WriteCLF(l film.LUT, id string) ([]byte, error) {
	if len(l.Steps) == 0 {
		return nil, &film.Error{Code: film.CodeUsage, Msg: "a CLF file needs at least one step", Hint: "add one to the look"}
	}
	w := clfWriter{}
	w.b.WriteString(xml.Header)
	w.linef(0, `<ProcessList id="%s" name="%s" compCLFversion="3.0" xmlns="%s">`, escaped(id), escaped(l.Title), clfSpace)
	writeNotes(&w.b, l.Notes, "  ")
	if l.Expects != "" {
		w.linef(1, "<InputDescriptor>%s</InputDescriptor>", escaped(l.Expects))
	}
	if l.Gives != "" {
		w.linef(1, "<OutputDescriptor>%s</OutputDescriptor>", escaped(l.Gives))
	}
	for _, s := range l.Steps {
		w.step(s)
	}
	w.linef(0, "</ProcessList>")
	return w.b.Bytes(), nil
}

type clfWriter struct{ b bytes.Buffer }

func (w *clfWriter) linef(level int, format string, args ...any) {
	w.b.WriteString(strings.Repeat("  ", level))
	fmt.Fprintf(&w.b, format, args...)
	w.b.WriteByte('\n')
}

// node writes a node with what body writes inside.
func (w *clfWriter) node(name, attrs string, body func()) {
	w.linef(1, `<%s inBitDepth="32f" outBitDepth="32f"%s>`, name, attrs)
	body()
	w.linef(1, "</%s>", name)
}

func style(s string) string { return fmt.Sprintf(` style="%s"`, s) }

func (w *clfWriter) step(step film.LUTStep) {
	switch s := step.(type) {
	case film.Table1D:
		w.table1D(s)
	case film.Table3D:
		w.table3D(s)
	case film.ColourMatrix:
		w.matrix(s)
	case film.ColourRange:
		w.limits(s)
	case film.LogCurves:
		w.log(s)
	case film.PowerCurves:
		w.exponent(s)
	case film.CDL:
		name := "Fwd"
		if s.Inverse {
			name = "Rev"
		}
		if s.NoClamp {
			name += "NoClamp"
		}
		w.node("ASC_CDL", fmt.Sprintf(` id="%s"`, escaped(s.ID))+style(name), func() {
			writeNotes(&w.b, s.Notes, "    ")
			writeSOP(&w.b, s, "    ")
		})
	}
}

// domain writes the matrix that brings a table's domain to 0..1.
func (w *clfWriter) domain(low, high [3]float64) {
	if low == ([3]float64{}) && high == ([3]float64{1, 1, 1}) {
		return
	}
	var m film.ColourMatrix
	for i := range m {
		m[i][i] = 1 / (high[i] - low[i])
		m[i][3] = -low[i] * m[i][i]
	}
	w.matrix(m)
}

func (w *clfWriter) matrix(m film.ColourMatrix) {
	w.node("Matrix", "", func() {
		w.linef(2, `<Array dim="3 4">`)
		for _, r := range m {
			w.linef(0, "%v %v %v %v", r[0], r[1], r[2], r[3])
		}
		w.linef(2, "</Array>")
	})
}

func (w *clfWriter) table1D(t film.Table1D) {
	attrs := ""
	if t.HalfDomain {
		attrs = ` halfDomain="true"`
	} else {
		w.domain(t.Min, t.Max)
	}
	w.node("LUT1D", attrs, func() {
		w.linef(2, `<Array dim="%d 3">`, len(t.Values))
		for _, v := range t.Values {
			w.linef(0, "%v %v %v", v[0], v[1], v[2])
		}
		w.linef(2, "</Array>")
	})
}

func (w *clfWriter) table3D(t film.Table3D) {
	w.domain(t.Min, t.Max)
	attrs := ""
	if t.Interpolation == film.Tetrahedral {
		attrs = ` interpolation="tetrahedral"`
	}
	n := t.Size
	w.node("LUT3D", attrs, func() {
		w.linef(2, `<Array dim="%d %d %d 3">`, n, n, n)
		for at := range t.Values { // blue runs fastest
			b, g, r := at%n, at/n%n, at/(n*n)
			v := t.Values[r+n*(g+n*b)]
			w.linef(0, "%v %v %v", v[0], v[1], v[2])
		}
		w.linef(2, "</Array>")
	})
}

// limits writes a range, or a matrix when it has no limits.
func (w *clfWriter) limits(r film.ColourRange) {
	low, high := !math.IsInf(r.Low, 0), !math.IsInf(r.High, 0)
	// Only with both limits a Range can scale, and only if they differ.
	if (r.Scale != 1 && !(low && high)) || !low && !high {
		var m film.ColourMatrix
		for i := range m {
			m[i][i], m[i][3] = r.Scale, r.Offset
		}
		w.matrix(m)
		r.Scale, r.Offset = 1, 0
	}
	if !low && !high {
		return
	}
	value := func(name string, v float64, given bool) {
		if given {
			w.linef(2, "<%s>%v</%s>", name, v, name)
		}
	}
	w.node("Range", style("Clamp"), func() {
		value("minInValue", (r.Low-r.Offset)/r.Scale, low)
		value("maxInValue", (r.High-r.Offset)/r.Scale, high)
		value("minOutValue", r.Low, low)
		value("maxOutValue", r.High, high)
	})
}

func (w *clfWriter) log(l film.LogCurves) {
	name := "linToLog"
	switch {
	case l.Camera && l.Inverse:
		name = "cameraLogToLin"
	case l.Camera:
		name = "cameraLinToLog"
	case l.Inverse:
		name = "logToLin"
	}
	w.node("Log", style(name), func() {
		for i, c := range l.Channel {
			camera := ""
			if l.Camera {
				camera = fmt.Sprintf(` linSideBreak="%v" linearSlope="%v"`, c.Break, c.LinearSlope)
			}
			w.linef(2, `<LogParams channel="%c" base="%v" logSideSlope="%v" logSideOffset="%v" linSideSlope="%v" linSideOffset="%v"%s/>`,
				"RGB"[i], c.Base, c.LogSlope, c.LogOffset, c.LinSlope, c.LinOffset, camera)
		}
	})
}

func (w *clfWriter) exponent(s film.PowerCurves) {
	name := string(s.Style) + "Fwd"
	if s.Inverse {
		name = string(s.Style) + "Rev"
	}
	monitor := s.Style == film.PowerMonitor || s.Style == film.PowerMonitorMirror
	w.node("Exponent", style(name), func() {
		for i := range 3 {
			offset := ""
			if monitor {
				offset = fmt.Sprintf(` offset="%v"`, s.Offset[i])
			}
			w.linef(2, `<ExponentParams channel="%c" exponent="%v"%s/>`, "RGB"[i], s.Exponent[i], offset)
		}
	})
}
