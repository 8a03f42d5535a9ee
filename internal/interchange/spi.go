package interchange

import (
	"strings"

	"takeweave/internal/film"
)

// maxSPILine is generous: rows have at most six numbers.
const maxSPILine = 1000

// ReadSPI1D reads a curve in spi1d text: Version 1, From, Length, Components (1
// or 3), then the rows between braces.
//
// Source: [OCIOspi].
func ReadSPI1D(text []byte, path string) (film.LUT, error) {
	t, err := readSPI1D(text)
	if err != nil {
		return film.LUT{}, refuseLUT(path, "spi1d LUT", err)
	}
	return film.LUT{Steps: []film.LUTStep{t}}, nil
}

func readSPI1D(text []byte) (t film.Table1D, err error) {
	all, err := textLines(text, maxSPILine)
	if err != nil {
		return t, err
	}
	from, length, components := []float64(nil), 0, 0
	i := 0
	for ; i < len(all) && all[i].text != "{"; i++ {
		l := all[i]
		switch word, rest := l.words[0], l.words[1:]; {
		case word == "Version" && len(rest) == 1 && rest[0] == "1":
		case word == "From" && len(rest) == 2:
			from = make([]float64, 2)
			for k, w := range rest {
				if from[k], err = number(w, l.number); err != nil {
					return t, err
				}
			}
			if from[0] >= from[1] {
				return t, faultf(l.number, "the domain goes from %g to %g", from[0], from[1])
			}
		case word == "Length" && len(rest) == 1:
			length, err = count(rest[0], l.number, 2, maxCubePoints)
		case word == "Components" && len(rest) == 1:
			components, err = count(rest[0], l.number, 1, 3)
		default:
			return t, faultf(l.number, "%.40q is not understood", l.text)
		}
		if err != nil {
			return t, err
		}
	}
	if from == nil || length == 0 || components == 0 || components == 2 {
		return t, faultf(0, "From, Length and Components (1 or 3) do not all stand before the rows")
	}
	rows := all[min(i+1, len(all)):]
	if len(rows) == 0 || rows[len(rows)-1].text != "}" {
		return t, faultf(0, "the rows do not end with }")
	}
	if rows = rows[:len(rows)-1]; len(rows) != length {
		return t, faultf(all[len(all)-1].number, "the file has %d rows instead of %d", len(rows), length)
	}
	t.Min, t.Max = [3]float64{from[0], from[0], from[0]}, [3]float64{from[1], from[1], from[1]}
	for _, l := range rows {
		words := l.words
		if components == 1 && len(words) == 1 {
			words = []string{words[0], words[0], words[0]}
		}
		v, err := triple(words, l.number)
		if err != nil {
			return t, err
		}
		t.Values = append(t.Values, narrow(v))
	}
	return t, nil
}

// ReadSPI3D reads a 3D table in spi3d text: SPILUT 1.0, "3 3", the three sizes,
// which must be equal, then rows of three indices and three numbers in any order.
//
// Source: [OCIOspi].
func ReadSPI3D(text []byte, path string) (film.LUT, error) {
	t, err := readSPI3D(text)
	if err != nil {
		return film.LUT{}, refuseLUT(path, "spi3d LUT", err)
	}
	return film.LUT{Steps: []film.LUTStep{t}}, nil
}

func readSPI3D(text []byte) (t film.Table3D, err error) {
	all, err := textLines(text, maxSPILine)
	if err != nil {
		return t, err
	}
	if len(all) < 3 || all[0].text != "SPILUT 1.0" || strings.Join(all[1].words, " ") != "3 3" || len(all[2].words) != 3 {
		return t, faultf(1, "the three first lines are not SPILUT 1.0, 3 3 and the sizes")
	}
	t.Max = [3]float64{1, 1, 1}
	for i, w := range all[2].words {
		n, err := count(w, all[2].number, 2, film.MaxTable3D)
		if err != nil {
			return t, err
		}
		if i > 0 && n != t.Size {
			return t, faultf(all[2].number, "the sizes differ")
		}
		t.Size = n
	}
	want, rows := t.Size*t.Size*t.Size, all[3:]
	if len(rows) != want {
		return t, faultf(all[len(all)-1].number, "the file has %d rows instead of %d", len(rows), want)
	}
	t.Values = make([][3]float32, want)
	filled := make([]bool, want)
	for _, l := range rows {
		if len(l.words) != 6 {
			return t, faultf(l.number, "it has %d numbers instead of 6", len(l.words))
		}
		at := 0
		for i, stride := range []int{1, t.Size, t.Size * t.Size} {
			k, err := count(l.words[i], l.number, 0, t.Size-1)
			if err != nil {
				return t, err
			}
			at += k * stride
		}
		if filled[at] {
			return t, faultf(l.number, "this point stands twice")
		}
		filled[at] = true
		v, err := triple(l.words[3:], l.number)
		if err != nil {
			return t, err
		}
		t.Values[at] = narrow(v)
	}
	return t, nil
}
