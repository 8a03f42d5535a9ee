package interchange

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// colours are spread over the cube and beyond it.
var colours = []look.RGB{
	{0, 0, 0}, {1, 1, 1}, {0.18, 0.18, 0.18}, {0.9, 0.1, 0.4}, {0.02, 0.6, 0.97}, {-0.1, 0.5, 1.3}, {0.33, 0.33, 0.9},
}

func legalLUTs(t *testing.T) map[string]film.LUT {
	t.Helper()
	all := map[string]film.LUT{}
	for _, pattern := range []string{"clf/*", "cube/*", "spi/*", "cdl/*.cc"} {
		paths, err := filepath.Glob("testdata/luts/" + pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("no files %s (%v)", pattern, err)
		}
		for _, p := range paths {
			text, err := os.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			if all[p], err = ReadLUT(text, p); err != nil {
				t.Fatal(err)
			}
		}
	}
	return all
}

// sameColours compares what two LUTs do. Written numbers are the shortest that
// read back alike, so only the order of a few multiplications can differ.
func sameColours(t *testing.T, name string, a, b film.LUT) {
	t.Helper()
	const tolerance = 1e-6 // single-precision tables moved to another domain
	for _, c := range colours {
		x, y := look.ApplyLUT(a, "", c), look.ApplyLUT(b, "", c)
		for i := range x {
			if math.Abs(x[i]-y[i]) > tolerance*math.Max(1, math.Abs(x[i])) {
				t.Errorf("%s: %v gave %v, and %v after writing and reading", name, c, x, y)
				break
			}
		}
	}
}

func TestCLFRoundTrip(t *testing.T) {
	for name, l := range legalLUTs(t) {
		text, err := WriteCLF(l, "urn:example:"+filepath.Base(name))
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadLUT(text, name)
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, text)
		}
		sameColours(t, name, l, back)
	}
}

func isOneTable(l film.LUT) bool {
	if len(l.Steps) != 1 {
		return false
	}
	switch l.Steps[0].(type) {
	case film.Table1D, film.Table3D:
		return true
	}
	return false
}

func TestCubeRoundTrip(t *testing.T) {
	for name, l := range legalLUTs(t) {
		text, err := WriteCube(l)
		if oneTable := isOneTable(l); oneTable != (err == nil) {
			t.Errorf("%s: one table is %v, writing it as cube text gives %v", name, oneTable, err)
		}
		if err != nil {
			continue
		}
		back, err := ReadCube(text, name)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if table, is := l.Steps[0].(film.Table3D); is {
			table.Interpolation = "" // cube text does not say
			l.Steps[0] = table
		}
		if d := cmp.Diff(l.Steps, back.Steps); d != "" || back.Title != l.Title {
			t.Errorf("%s: %q became %q\n%s", name, l.Title, back.Title, d)
		}
	}
}

func TestCDLRoundTrip(t *testing.T) {
	for file, want := range map[string]int{"cdl_test1.ccc": 5, "cdl_test1.cdl": 5, "cdl_test2.cc": 1} {
		text, err := os.ReadFile("testdata/luts/cdl/" + file)
		if err != nil {
			t.Fatal(err)
		}
		all, err := ReadCDL(text, file)
		if err != nil || len(all) != want {
			t.Fatalf("%s: %d corrections, want %d (%v)", file, len(all), want, err)
		}
		// The values stand in the file; cc0001 of all three is example 12 of [CLF3].
		if c := all[0]; c.ID != "cc0001" || c.Slope != [3]float64{1, 1, 0.9} || c.Offset != [3]float64{-0.03, -0.02, 0} ||
			c.Power != [3]float64{1.25, 1, 1} || c.Saturation != 1.7 {
			t.Errorf("%s: read as %+v", file, c)
		}
		forms := [][]byte{WriteCDLList(all, []string{"verse & <chorus>.mov"})}
		ccc, err := WriteCDL(all, false)
		if err != nil {
			t.Fatal(err)
		}
		if forms = append(forms, ccc); want == 1 {
			cc, err := WriteCDL(all, true)
			if err != nil {
				t.Fatal(err)
			}
			forms = append(forms, cc)
		}
		for _, form := range forms {
			back, err := ReadCDL(form, file)
			if d := cmp.Diff(all, back); d != "" || err != nil {
				t.Errorf("%s: %v\n%s\n%s", file, err, d, form)
			}
		}
	}
	if _, err := WriteCDL(make([]film.CDL, 2), true); film.CodeOf(err) != film.CodeUsage {
		t.Errorf("two corrections in a .cc file: %v", err)
	}
}

func TestCubeRefusals(t *testing.T) {
	const eight = "0 0 0\n1 0 0\n0 1 0\n1 1 0\n0 0 1\n1 0 1\n0 1 1\n1 1 1\n"
	for _, c := range []struct{ name, text, want string }{
		{"good", "# a comment\r\nTITLE \"x y\"\r\n\tLUT_3D_SIZE  2\r\n" + eight, ""},
		{"comment between rows", "LUT_3D_SIZE 2\n0 0 0\n#here\n\n" + eight[6:], ""},
		{"old line ends", strings.ReplaceAll("LUT_3D_SIZE 2\n"+eight, "\n", "\r"), ""},
		{"empty", "", "neither"},
		{"no size", eight, "neither"},
		{"two numbers after the size", "LUT_3D_SIZE 2 2\n" + eight, "line 1: LUT_3D_SIZE has 2 numbers"},
		{"two of the domain", "LUT_3D_SIZE 2\nDOMAIN_MIN 0 0\n" + eight, "line 2: it has 2 numbers"},
		{"four of the domain", "LUT_3D_SIZE 2\nDOMAIN_MAX 1 1 1 1\n" + eight, "line 2: it has 4 numbers"},
		{"domain upside down", "LUT_3D_SIZE 2\nDOMAIN_MIN 0 1 0\n" + eight, "line 2: the domain goes from 1 to 1"},
		{"word among the rows", "LUT_3D_SIZE 2\n0 0 0\nfoo 1 2\n" + eight[6:], "the file has 9 rows"},
		{"word instead of a row", "LUT_3D_SIZE 2\n0 0 0\nfoo 1 2\n" + eight[12:], "line 3"},
		{"keyword after the rows", "LUT_3D_SIZE 2\n" + eight[:42] + "TITLE \"x\"", "line 9"},
		{"row missing", "LUT_3D_SIZE 2\n" + eight[6:], "line 8: the file has 7 rows"},
		{"row too many", "LUT_3D_SIZE 2\n" + eight + "0 0 0\n", "line 10: the file has 9 rows"},
		{"two sizes", "LUT_3D_SIZE 2\nLUT_1D_SIZE 8\n" + eight, "line 2: a second size"},
		{"title twice", "TITLE \"a\"\nTITLE \"b\"\nLUT_3D_SIZE 2\n" + eight, "line 2: TITLE stands twice"},
		{"title without quotes", "TITLE a\nLUT_3D_SIZE 2\n" + eight, "line 1: the title"},
		{"unknown word", "LUT_SIZE 2\n" + eight, `line 1: "LUT_SIZE"`},
		{"too many points", "LUT_3D_SIZE 130\n" + eight, "line 1: 130 is not within 2 to 129"},
		{"one point", "LUT_1D_SIZE 1\n0 0 0\n", "line 1: 1 is not within"},
		{"not a number", "LUT_1D_SIZE 2\n0 0 0\n0 nan 0\n", "line 3"},
		{"infinite", "LUT_1D_SIZE 2\n0 0 0\n0 1e999 0\n", "line 3"},
		{"too large", "LUT_1D_SIZE 2\n0 0 0\n0 1e39 0\n", "line 3"},
		{"long line", "LUT_1D_SIZE 2\n0 0 0\n1 1 1" + strings.Repeat(" ", 250) + "\n", "line 3: it is longer"},
	} {
		_, err := ReadCube([]byte(c.text), "a.cube")
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
	}
}

// TestLargestTableReads: 129 points a side are the promise.
func TestLargestTableReads(t *testing.T) {
	table := look.IdentityTable(film.MaxTable3D)
	text, err := WriteCube(film.LUT{Steps: []film.LUTStep{table}})
	if err != nil {
		t.Fatal(err)
	}
	back, err := ReadCube(text, "large.cube")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []look.RGB{{0.123, 0.456, 0.789}, {1, 0.5, 0}} {
		got := look.ApplyLUT(back, film.Tetrahedral, c)
		for i := range got {
			if math.Abs(got[i]-c[i]) > 1e-6 { // single precision
				t.Errorf("%v became %v", c, got)
			}
		}
	}
}

// FuzzReadLUT: no text may panic, and what is read can be written and read again.
func FuzzReadLUT(f *testing.F) {
	for _, pattern := range []string{"clf/*", "clf-illegal/*", "cube/*", "spi/*", "cdl/*"} {
		paths, _ := filepath.Glob("testdata/luts/" + pattern)
		for _, p := range paths {
			if text, err := os.ReadFile(p); err == nil && len(text) < 3000 {
				f.Add(text)
			}
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := ReadLUT(text, "x")
		if err != nil {
			return
		}
		for _, c := range colours {
			look.ApplyLUT(l, "", c)
		}
		out, err := WriteCLF(l, "x")
		if err != nil {
			t.Fatal(err)
		}
		// Bit depths undone can make a number too large for the format.
		if _, err := ReadLUT(out, "x"); err != nil && !strings.Contains(err.Error(), "too large") {
			t.Errorf("%v\n%s", err, out)
		}
	})
}
