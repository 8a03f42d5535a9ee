package interchange

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// referenceTolerance is relative to the value where that is above 1, because the
// reference works in single precision, which carries about 6e-8 of a value
// through up to a dozen operations.
const referenceTolerance = 1e-5

// TestLUTReferenceValues compares with what an independent implementation makes
// of the same files: testdata/luts/README.md.
func TestLUTReferenceValues(t *testing.T) {
	f, err := os.Open("testdata/luts/reference-values.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	luts, worst, checked := map[string]film.LUT{}, map[string]float64{}, 0
	for _, row := range rows[1:] {
		file := row[0]
		l, known := luts[file]
		if !known {
			text, err := os.ReadFile(filepath.Join("testdata/luts", file))
			if err != nil {
				t.Fatal(err)
			}
			if l, err = ReadLUT(text, file); err != nil {
				t.Errorf("%s: %v", file, err)
			}
			luts[file] = l
		}
		var v [6]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[2+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		var how film.Interpolation // "linear" leaves it to the file
		if row[1] == "tetrahedral" {
			how = film.Tetrahedral
		}
		got := look.ApplyLUT(l, how, look.RGB(v[:3]))
		for i, want := range v[3:] {
			off := math.Abs(got[i]-want) / math.Max(1, math.Abs(want))
			worst[file] = math.Max(worst[file], off)
			if !(off <= referenceTolerance) {
				t.Errorf("%s %s: %v gives %v, want %v", file, row[1], v[:3], got, v[3:])
				break
			}
		}
		checked++
	}
	most := 0.0
	for _, w := range worst {
		most = math.Max(most, w)
	}
	t.Logf("%d values of %d files, worst difference %.2g", checked, len(luts), most)
	if checked != 630 {
		t.Errorf("%d reference values, want 630", checked)
	}
}

func TestIllegalLUTsAreRefused(t *testing.T) {
	paths, err := filepath.Glob("testdata/luts/clf-illegal/*.clf")
	if err != nil || len(paths) != 19 {
		t.Fatalf("%d illegal files, want 19 (%v)", len(paths), err)
	}
	// The line and a word of the reason, looked up in each file by hand.
	want := map[string]string{
		"array_bad_dimension.clf":              "line 5: the dim",
		"array_missing_values.clf":             "line 5: Array holds 3 numbers instead of 9",
		"cdl_bad_power.clf":                    "line 8: Power 0 is too small",
		"cdl_bad_slope.clf":                    "line 6: Slope holds 2 numbers",
		"cdl_missing_offset.clf":               "line 5: SOPNode has no Offset",
		"cdl_missing_slope.clf":                "line 5: SOPNode has no Slope",
		"exponent_bad_value.clf":               "line 5: exponent 0.99",
		"indexMap_test2.clf":                   "line 16: IndexMap",
		"log_bad_style.clf":                    `line 4: Log has the style "invalidStyle"`,
		"lut1d_half_domain_missing_values.clf": "halfDomain has 32 points",
		"lut1d_raw_half_set_false.clf":         "rawHalfs may only be true",
		"matrix_end_missing.clf":               "line 5:",
		"range_bad_noclamp.clf":                "needs both limits",
		"range_empty.clf":                      "Range has no limits",
		"transform_bad_outdepth.clf":           `outBitDepth "16d"`,
		"transform_corrupted_tag.clf":          "line 12:",
		"transform_empty.clf":                  "holds no node",
		"transform_missing_inbitdepth.clf":     "line 4: LUT1D has no inBitDepth",
		"unknown_elements.clf":                 "line 34: B is not an element",
	}
	for _, p := range paths {
		text, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		_, err = ReadLUT(text, p)
		var told *film.Error
		if !errors.As(err, &told) || told.Code != film.CodeUnreadable || told.Hint == "" {
			t.Errorf("%s: refused with %v", p, err)
			continue
		}
		if name := filepath.Base(p); !strings.Contains(err.Error(), want[name]) {
			t.Errorf("%s: refused with %q, want %q in it", name, err, want[name])
		}
	}
}

// TestMisfitOfARealLUT: the one table among the samples that takes logarithmic
// pictures is told by its greys alone, without its title.
func TestMisfitOfARealLUT(t *testing.T) {
	for file, want := range map[string]int{"aces-sdr-srgb-from-acescct-17.cube": 1, "three-dimensional-table.cube": 0} {
		text, err := os.ReadFile("testdata/luts/cube/" + file)
		if err != nil {
			t.Fatal(err)
		}
		l, err := ReadLUT(text, file)
		if err != nil {
			t.Fatal(err)
		}
		if want := map[string]string{
			"aces-sdr-srgb-from-acescct-17.cube": "ACEScct to sRGB, ACES SDR video", "three-dimensional-table.cube": "three-dimensional-table",
		}[file]; l.Title != want {
			t.Errorf("%s is called %q, want %q", file, l.Title, want)
		}
		l.Title = ""
		if got := look.Misfit(l, look.BT709); len(got) != want {
			t.Errorf("%s: %q, want %d warnings", file, got, want)
		}
		if got := look.Misfit(l, look.ACEScct); len(got) != 0 {
			t.Errorf("%s for ACEScct: %q", file, got)
		}
	}
}
