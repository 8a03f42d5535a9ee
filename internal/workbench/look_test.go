package workbench

import (
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// The table that the page is given is that of the look, red running fastest.
func TestATriedLookIsGivenAsNumbers(t *testing.T) {
	_, h := emptyFilm(t)
	l := look.Look{ExposureStops: 0.5, Curve: []look.Knot{{In: 0, Out: 0}, {In: 0.5, Out: 0.4}, {In: 1, Out: 1}}}
	trim := look.Trim{TemperatureMired: 20}
	for _, quick := range []bool{true, false} {
		ask1, err := json.Marshal(TableAsk{Look: l, Trim: trim, Quick: quick})
		if err != nil {
			t.Fatal(err)
		}
		res := ask(t, "POST", h.URL+"/api/table", string(ask1), nil)
		body, err := io.ReadAll(res.Body)
		if err != nil || res.StatusCode != 200 {
			t.Fatalf("%s, %v", res.Status, err)
		}
		size := int(math.Round(math.Cbrt(float64(len(body) / 12))))
		if len(body) != 12*size*size*size || size < 2 {
			t.Fatalf("%d bytes are no table", len(body))
		}
		c, err := look.NewChain(l, trim, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		last := float64(size - 1)
		for _, at := range [][3]int{{0, 0, 0}, {size - 1, 0, 0}, {1, 2, 3}, {size - 1, size - 1, size - 1}} {
			want := c.Apply(look.RGB{float64(at[0]) / last, float64(at[1]) / last, float64(at[2]) / last})
			from := 12 * (at[0] + size*(at[1]+size*at[2]))
			for k := range want {
				got := math.Float32frombits(binary.LittleEndian.Uint32(body[from+4*k:]))
				if math.Abs(float64(got)-want[k]) > 1e-6 { // single precision
					t.Errorf("at %v: %g, want %g", at, got, want[k])
				}
			}
		}
	}
	if res := ask(t, "POST", h.URL+"/api/table", `{"look":{"exposure_stops":99}}`, nil); res.StatusCode != 422 {
		t.Errorf("99 stops: %s", res.Status)
	}
}

// A LUT is dropped on the page and lies in the film then; a broken one is refused
// with the line, and so is another of the same name.
func TestALUTIsDropped(t *testing.T) {
	v, h := emptyFilm(t)
	drop := func(name, text string) (int, string) {
		t.Helper()
		file, err := json.Marshal(LUTFile{Name: name, Text: text})
		if err != nil {
			t.Fatal(err)
		}
		res := ask(t, "POST", h.URL+"/api/lut", string(file), nil)
		body, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		return res.StatusCode, string(body)
	}
	const cube = "LUT_1D_SIZE 2\n0 0 0\n1 1 1\n"
	if code, body := drop("plain.cube", cube); code != 200 {
		t.Fatalf("%d %s", code, body)
	}
	for name, text := range map[string]string{
		"broken.cube": "LUT_1D_SIZE 2\n0 0 0\n1 x 1\n", "plain.cube": cube + "\n", "../out.cube": cube, ".hidden.cube": cube, "": cube,
	} {
		if code, body := drop(name, text); code < 400 {
			t.Errorf("%q was taken: %s", name, body)
		}
	}
	_, w := v.known(ask(t, "GET", h.URL+"/api/live", "", nil).Request)
	names, err := w.LUTs()
	if err != nil || len(names) != 1 || names[0] != "plain.cube" {
		t.Errorf("the film has %q, %v", names, err)
	}
	if _, err := w.TryTable(look.Look{A: look.Layer{File: "plain.cube", Strength: 1, Interpolation: film.Tetrahedral}}, look.Trim{}, true); err != nil {
		t.Error(err)
	}
}
