package interchange

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// maxLUTBytes bounds the LUT files that are read: 129 points a side with three
// numbers of 16 digits each take 105 MB.
const maxLUTBytes = 128 << 20

// fault is why a LUT file is refused, and in which line it stands, from 1; line 0
// is the file as a whole.
type fault struct {
	line int
	why  string
}

func (f *fault) Error() string {
	if f.line == 0 {
		return f.why
	}
	return fmt.Sprintf("line %d: %s", f.line, f.why)
}

func faultf(line int, format string, args ...any) error {
	return &fault{line, fmt.Sprintf(format, args...)}
}

// refuseLUT wraps what is wrong with a LUT file for the person.
func refuseLUT(path, kind string, err error) error {
	return &film.Error{
		Code: film.CodeUnreadable, Path: path,
		Msg: "is not a " + kind + " that can be used", Err: err,
		Hint: "mend that line, or export the file again from where it came",
	}
}

// ReadLUT reads a LUT of any of the kinds known here; what it is tells its
// beginning, not its name: cube text, CLF, an ASC CDL file with one correction,
// or the spi1d and spi3d texts. A LUT without a title is called after its file.
//
// A file that breaks its format's rules gives a *film.Error with
// film.CodeUnreadable that names the line and the reason.
func ReadLUT(text []byte, path string) (film.LUT, error) {
	l, err := readLUT(text, path)
	if err == nil && l.Title == "" {
		file := filepath.Base(path)
		l.Title = strings.TrimSuffix(file, filepath.Ext(file))
	}
	return l, err
}

func readLUT(text []byte, path string) (film.LUT, error) {
	start := bytes.TrimSpace(bytes.TrimPrefix(text, []byte("\ufeff")))
	switch {
	case bytes.HasPrefix(start, []byte("SPILUT")):
		return ReadSPI3D(text, path)
	case bytes.HasPrefix(start, []byte("Version")):
		return ReadSPI1D(text, path)
	case !bytes.HasPrefix(start, []byte("<")):
		return ReadCube(text, path)
	case bytes.Contains(start, []byte("<ProcessList")):
		return ReadCLF(text, path)
	}
	all, err := ReadCDL(text, path)
	if err != nil {
		return film.LUT{}, err
	}
	if len(all) != 1 {
		return film.LUT{}, refuseLUT(path, "colour decision", faultf(0, "it holds %d corrections; choose one", len(all)))
	}
	return film.LUT{Title: all[0].ID, Notes: all[0].Notes, Steps: []film.LUTStep{all[0]}}, nil
}

// textLine is a line of a text file that says something.
type textLine struct {
	number int // from 1
	words  []string
	text   string // without space around
}

// textLines cuts a text at LF, CR or CR LF and leaves out blank lines and those that
// begin with #. A line of more than limit bytes is refused.
func textLines(text []byte, limit int) ([]textLine, error) {
	if len(text) > maxLUTBytes {
		return nil, faultf(0, "it is larger than %d MB", maxLUTBytes>>20)
	}
	s := strings.TrimPrefix(string(text), "\ufeff")
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	var all []textLine
	for number := 1; s != ""; number++ {
		var one string
		one, s, _ = strings.Cut(s, "\n")
		if len(one) > limit {
			return nil, faultf(number, "it is longer than %d characters", limit)
		}
		if one = strings.TrimSpace(one); one != "" && one[0] != '#' {
			all = append(all, textLine{number, strings.Fields(one), one})
		}
	}
	return all, nil
}

// number reads a decimal number that single precision can hold.
func number(word string, at int) (float64, error) {
	v, err := strconv.ParseFloat(word, 64)
	// Hexadecimal and underscores are Go's, not the formats'.
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(word, "xX_") {
		return 0, faultf(at, "%.40q is not a number", word)
	}
	if math.Abs(v) > math.MaxFloat32 {
		return 0, faultf(at, "%.40q is too large", word)
	}
	return v, nil
}

// triple reads three numbers.
func triple(words []string, at int) (v [3]float64, err error) {
	if len(words) != 3 {
		return v, faultf(at, "it has %d numbers instead of 3", len(words))
	}
	for i, w := range words {
		if v[i], err = number(w, at); err != nil {
			return v, err
		}
	}
	return v, nil
}

// count reads a whole number within least..most.
func count(word string, at, least, most int) (int, error) {
	n, err := strconv.Atoi(word)
	if err != nil {
		return 0, faultf(at, "%.40q is not a whole number", word)
	}
	if n < least || n > most {
		return 0, faultf(at, "%d is not within %d to %d", n, least, most)
	}
	return n, nil
}

func narrow(v [3]float64) [3]float32 {
	return [3]float32{float32(v[0]), float32(v[1]), float32(v[2])}
}
