package media

import "fmt"

// sourceMatrix returns the name, as the scale filter has it, of the matrix
// between R'G'B' and Y'CbCr of a source. When the file does not say, pictures of
// at least 720 lines are taken as BT.709 and smaller ones as BT.601 (common
// practice).
func sourceMatrix(p *Picture) string {
	switch p.Matrix {
	case "bt709", "fcc", "smpte240m":
		return p.Matrix
	case "smpte170m", "bt470bg":
		return "bt601"
	case "bt2020nc", "bt2020c":
		return "bt2020"
	}
	if min(p.CodedWidth, p.CodedHeight) >= 720 {
		return "bt709"
	}
	return "bt601"
}

func sourceRange(p *Picture) string {
	if p.FullRange {
		return "pc"
	}
	return "tv"
}

// Ways of scaling.
const (
	sharp    = "bicubic"
	averaged = "area" // quicker where a picture gets much smaller
)

// scaleTo returns the filter that brings the source to w x h, in one of the ways of
// scaling, in the given output matrix and range. inRGB are filters for R'G'B' on the way, each with a
// comma before it; 16 bits a component, for which FFmpeg's tables are also twice
// as fast as for 10.
func scaleTo(p *Picture, w, h int, way, matrix, levels, inRGB string) string {
	size := fmt.Sprintf("scale=%d:%d:flags=%s", w, h, way)
	if inRGB == "" && sourceMatrix(p) == matrix && sourceRange(p) == levels {
		return size // so that a picture that already fits passes untouched
	}
	in := fmt.Sprintf("%s:in_color_matrix=%s:in_range=%s", size, sourceMatrix(p), sourceRange(p))
	out := fmt.Sprintf("out_color_matrix=%s:out_range=%s", matrix, levels)
	if inRGB == "" {
		return in + ":" + out
	}
	return in + ",format=gbrp16" + inRGB + ",scale=" + out
}

// throughTable returns the filter that applies a .cube file, with a comma before
// it.
func throughTable(path string) string {
	return ",lut3d=file=" + quoteFilter(path) + ":interp=tetrahedral"
}

// quoteFilter writes a value so that it passes FFmpeg's two levels of filter
// syntax: the options of a filter, and the chain.
func quoteFilter(s string) string {
	return escape(escape(s, `\':`), `\'[],;`)
}

func escape(s, special string) string {
	var out []rune
	for _, r := range s {
		for _, x := range special {
			if r == x {
				out = append(out, '\\')
			}
		}
		out = append(out, r)
	}
	return string(out)
}
