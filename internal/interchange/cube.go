package interchange

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// Limits of cube text. Source: [Cube1], but that 3D tables may have 256 points
// there.
const (
	maxCubeLine   = 250
	maxCubePoints = 65536 // of a curve
)

// ReadCube reads a LUT in cube text: one curve per channel or a 3D table, whose
// colours run red fastest, with a domain. 3D tables may have up to
// film.MaxTable3D points a side.
//
// Source: [Cube1].
func ReadCube(text []byte, path string) (film.LUT, error) {
	l, err := readCube(text)
	if err != nil {
		return film.LUT{}, refuseLUT(path, "cube LUT", err)
	}
	return l, nil
}

func readCube(text []byte) (film.LUT, error) {
	all, err := textLines(text, maxCubeLine)
	if err != nil {
		return film.LUT{}, err
	}
	head, rows, err := cubeHead(all)
	if err != nil {
		return film.LUT{}, err
	}
	if want := head.rows(); len(rows) != want {
		last := 0
		if len(rows) > 0 {
			last = rows[min(want, len(rows)-1)].number
		}
		return film.LUT{}, faultf(last, "the file has %d rows of colours instead of %d", len(rows), want)
	}
	values := make([][3]float32, len(rows))
	for i, row := range rows {
		v, err := triple(row.words, row.number)
		if err != nil {
			return film.LUT{}, err
		}
		values[i] = narrow(v)
	}
	l := film.LUT{Title: head.title}
	if head.curve > 0 {
		l.Steps = []film.LUTStep{film.Table1D{Min: head.low, Max: head.high, Values: values}}
	} else {
		l.Steps = []film.LUTStep{film.Table3D{Min: head.low, Max: head.high, Size: head.side, Values: values}}
	}
	return l, nil
}

// cube is what the keywords of a cube text say.
type cube struct {
	title       string
	curve, side int // one of them is 0
	low, high   [3]float64
	seen        map[string]bool
}

func (h *cube) rows() int { return max(h.curve, h.side*h.side*h.side) }

// cubeHead reads the keywords and returns the rows after them.
func cubeHead(all []textLine) (*cube, []textLine, error) {
	h := &cube{high: [3]float64{1, 1, 1}, seen: map[string]bool{}}
	rows := 0
	for ; rows < len(all) && !beginsANumber(all[rows].text); rows++ {
		if err := h.keyword(all[rows]); err != nil {
			return nil, nil, err
		}
	}
	end := 0
	if rows > 0 {
		end = all[rows-1].number
	}
	if h.rows() == 0 {
		return nil, nil, faultf(end, "neither LUT_1D_SIZE nor LUT_3D_SIZE stands before the colours")
	}
	for i := range h.low {
		if h.low[i] >= h.high[i] {
			return nil, nil, faultf(end, "the domain goes from %g to %g", h.low[i], h.high[i])
		}
	}
	return h, all[rows:], nil
}

func beginsANumber(s string) bool { return strings.ContainsRune("+-.0123456789", rune(s[0])) }

func (h *cube) keyword(l textLine) (err error) {
	word, rest := l.words[0], l.words[1:]
	if h.seen[word] {
		return faultf(l.number, "%s stands twice", word)
	}
	h.seen[word] = true
	switch word {
	case "TITLE":
		quoted := strings.TrimSpace(strings.TrimPrefix(l.text, word))
		if len(quoted) < 2 || quoted[0] != '"' || quoted[len(quoted)-1] != '"' {
			return faultf(l.number, "the title is not in quotes")
		}
		h.title = quoted[1 : len(quoted)-1]
	case "LUT_1D_SIZE", "LUT_3D_SIZE":
		if h.rows() > 0 {
			return faultf(l.number, "a second size")
		}
		if len(rest) != 1 {
			return faultf(l.number, "%s has %d numbers instead of 1", word, len(rest))
		}
		if word == "LUT_1D_SIZE" {
			h.curve, err = count(rest[0], l.number, 2, maxCubePoints)
		} else {
			h.side, err = count(rest[0], l.number, 2, film.MaxTable3D)
		}
	case "DOMAIN_MIN":
		h.low, err = triple(rest, l.number)
	case "DOMAIN_MAX":
		h.high, err = triple(rest, l.number)
	default:
		return faultf(l.number, "%.40q is not a word of this format", word)
	}
	return err
}

// WriteCube writes a LUT of one single table as cube text with LF line ends.
// Whatever else a LUT holds must be baked into a table first. Quotes and line
// ends in the title become spaces.
func WriteCube(l film.LUT) ([]byte, error) {
	var b bytes.Buffer
	title := strings.Map(func(r rune) rune {
		if r == '"' || r < ' ' {
			return ' '
		}
		return r
	}, l.Title)
	for len(title) > maxCubeLine-len(`TITLE ""`) {
		title = title[:len(title)-1]
	}
	if title != "" {
		fmt.Fprintf(&b, "TITLE \"%s\"\n", strings.ToValidUTF8(title, ""))
	}
	var low, high [3]float64
	var values [][3]float32
	var step film.LUTStep
	if len(l.Steps) == 1 {
		step = l.Steps[0]
	}
	switch t := step.(type) {
	case film.Table3D:
		fmt.Fprintf(&b, "LUT_3D_SIZE %d\n", t.Size)
		low, high, values = t.Min, t.Max, t.Values
	case film.Table1D:
		if t.HalfDomain {
			return nil, errNotOneTable
		}
		fmt.Fprintf(&b, "LUT_1D_SIZE %d\n", len(t.Values))
		low, high, values = t.Min, t.Max, t.Values
	default:
		return nil, errNotOneTable
	}
	if low != ([3]float64{}) || high != ([3]float64{1, 1, 1}) {
		fmt.Fprintf(&b, "DOMAIN_MIN %v %v %v\nDOMAIN_MAX %v %v %v\n",
			low[0], low[1], low[2], high[0], high[1], high[2])
	}
	row := make([]byte, 0, 64)
	for _, v := range values {
		row = row[:0]
		for i, x := range v {
			row = strconv.AppendFloat(row, float64(x), 'f', -1, 32) // not every reader knows exponents
			row = append(row, " \n"[i/2])
		}
		b.Write(row)
	}
	return b.Bytes(), nil
}

var errNotOneTable = &film.Error{
	Code: film.CodeUsage,
	Msg:  "a cube file holds one table, and this LUT is something else",
	Hint: "bake it into a table first, or write it as CLF",
}
