package media

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"math"
	"os"
)

// Grade is what is done to the colours of a shot; the zero value does nothing.
type Grade struct {
	// Table is a .cube file over BT.709 R'G'B' in full range; "" is none.
	Table string
	// EdgeAngle darkens towards the edges by the fourth power of the cosine, in
	// radians at the corner; EdgeX and EdgeY move its centre, -1..1.
	EdgeAngle, EdgeX, EdgeY float64
	// BarsTop, BarsLeft are the widths of the black bars of a letterbox, pixels.
	BarsTop, BarsLeft int
}

// withFilter calls f with the filters of the grade for R'G'B' pictures of w x h,
// each with a comma before it, and removes their mask afterwards.
func (g Grade) withFilter(w, h int, f func(filter string) error) error {
	filter := ""
	if g.Table != "" {
		filter = throughTable(g.Table)
	}
	if g.EdgeAngle == 0 {
		return f(filter)
	}
	mask, err := os.CreateTemp("", "edge-*.pgm")
	if err != nil {
		return err
	}
	defer os.Remove(mask.Name())
	if err := g.writeMask(mask, w, h); err != nil {
		return err
	}
	return f(filter + "[bright];movie=" + quoteFilter(mask.Name()) + ",format=gbrp16[mask];[bright][mask]blend=all_mode=multiply")
}

// writeMask writes the factors of the edge darkening as a grey picture of 16
// bits, and closes the file.
func (g Grade) writeMask(file *os.File, w, h int) error {
	defer file.Close()
	out := bufio.NewWriter(file)
	fmt.Fprintf(out, "P5\n%d %d\n65535\n", w, h)
	row := make([]byte, 2*w)
	for y := range h {
		for x := range w {
			factor := g.edgeFactor(float64(x)+0.5, float64(y)+0.5, float64(w), float64(h))
			binary.BigEndian.PutUint16(row[2*x:], uint16(math.Round(65535*factor)))
		}
		if _, err := out.Write(row); err != nil {
			return err
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	return file.Close()
}

// edgeFactor returns by what the edge darkening multiplies R'G'B' at a place in
// pixels.
func (g Grade) edgeFactor(x, y, w, h float64) float64 {
	dx, dy := x-w/2*(1+g.EdgeX), y-h/2*(1+g.EdgeY)
	angle := g.EdgeAngle * math.Sqrt((dx*dx+dy*dy)/(w*w/4+h*h/4))
	if angle >= math.Pi/2 {
		return 0
	}
	square := math.Cos(angle) * math.Cos(angle)
	return square * square
}

// bars returns the filter that draws the letterbox, with a comma before it.
func (g Grade) bars() string {
	if g.BarsTop == 0 && g.BarsLeft == 0 {
		return ""
	}
	return fmt.Sprintf(",fillborders=top=%[1]d:bottom=%[1]d:left=%[2]d:right=%[2]d:mode=fixed", g.BarsTop, g.BarsLeft)
}
