package interchange

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// clfWith puts nodes into a ProcessList, from line 2 on.
func clfWith(nodes string) []byte {
	return []byte(`<ProcessList id="x" compCLFversion="3.0">` + "\n" + nodes + "\n</ProcessList>")
}

// TestCLFWorkedExamples: examples in the text of [CLF3].
func TestCLFWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		name, node string
		in, want   look.RGB
	}{
		{
			"a curve of four entries turns the values round",
			`<LUT1D inBitDepth="12i" outBitDepth="12i"><Array dim="4 1">4095 2730 1365 0</Array></LUT1D>`,
			look.RGB{0, 0.25, 1},
			look.RGB{1, 0.75, 0},
		},
		{
			"a matrix brings 12 bits to 10", // 1023/4095, and the same colour
			`<Matrix inBitDepth="12i" outBitDepth="10i"><Array dim="3 3">0.2498168498168498 0 0 0 0.2498168498168498 0 0 0 0.2498168498168498</Array></Matrix>`,
			look.RGB{0.2, 0.5, 1},
			look.RGB{0.2, 0.5, 1},
		},
		{
			"the curve of BT.709", // and its value for 0.18
			`<Exponent inBitDepth="32f" outBitDepth="32f" style="monCurveRev"><ExponentParams exponent="2.2222222222222222" offset="0.099"/></Exponent>`,
			look.RGB{0.18, 1, 0},
			look.RGB{0.409007728864150, 1, 0},
		},
		{
			"the display curve of sRGB",
			`<Exponent inBitDepth="32f" outBitDepth="32f" style="monCurveFwd"><ExponentParams exponent="2.4" offset="0.055"/></Exponent>`,
			look.RGB{0.461356129500442, 1, 0},
			look.RGB{0.18, 1, 0},
		},
		{
			"a range scales and holds",
			`<Range inBitDepth="10i" outBitDepth="10i"><minInValue>64</minInValue><maxInValue>940</maxInValue><minOutValue>0</minOutValue><maxOutValue>1023</maxOutValue></Range>`,
			look.RGB{64.0 / 1023, 940.0 / 1023, 1},
			look.RGB{0, 1, 1},
		},
	} {
		l, err := ReadCLF(clfWith(c.node), "x.clf")
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := look.ApplyLUT(l, "", c.in)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-6 { // single-precision entries
				t.Errorf("%s: %v gives %v, want %v", c.name, c.in, got, c.want)
				break
			}
		}
	}
}

// TestCLFHalfDomain: entries as bits of half floats, over all half floats.
func TestCLFHalfDomain(t *testing.T) {
	var b strings.Builder
	for bits := range 65536 {
		fmt.Fprintln(&b, bits)
	}
	l, err := ReadCLF(clfWith(`<LUT1D inBitDepth="16f" outBitDepth="16f" halfDomain="true" rawHalfs="true"><Array dim="65536 1">`+b.String()+`</Array></LUT1D>`), "x.clf")
	if err != nil {
		t.Fatal(err)
	}
	in := look.RGB{-1.5, 0.18, 1000}
	got := look.ApplyLUT(l, "", in)
	for i := range got {
		if math.Abs(got[i]-in[i]) > 1e-6*math.Abs(in[i]) {
			t.Errorf("%v became %v", in, got)
		}
	}
}

func TestCLFRefusals(t *testing.T) {
	const f = `inBitDepth="32f" outBitDepth="32f"`
	const sop = `<SOPNode><Slope>1 0 1</Slope><Offset>0 0 0</Offset><Power>1 1 1</Power></SOPNode>`
	cube := `<Array dim="2 2 2 3">` + strings.Repeat("0 0 1 ", 8) + `</Array>`
	for _, c := range []struct{ name, text, want string }{
		{"another root", `<Cube/>`, "line 1: Cube is not the beginning"},
		{"no version", `<ProcessList id="x"></ProcessList>`, "compCLFversion"},
		{"version 2", `<ProcessList id="x" compCLFversion="2.0"></ProcessList>`, `compCLFversion is "2.0"`},
		{"two roots", `<ProcessList compCLFversion="3.0"/><ProcessList/>`, "second root"},
		{"not XML", `<ProcessList`, "line 1"},
		{"nothing", ``, "neither"},
		{"depths that do not meet", string(clfWith(`<Log inBitDepth="32f" outBitDepth="10i" style="log2"/>` + "\n" + `<Log inBitDepth="12i" outBitDepth="32f" style="log2"/>`)), "line 3: Log takes 12i, but the node before gives 10i"},
		{"not a number", string(clfWith("<LUT1D " + f + "><Array dim=\"2 1\">0\n1,0</Array></LUT1D>")), `line 3: "1,0" is not a number`},
		{"too many numbers", string(clfWith(`<LUT1D ` + f + `><Array dim="2 1">0 1 2</Array></LUT1D>`)), "more than 2 numbers"},
		{"two channels", string(clfWith(`<LUT1D ` + f + `><Array dim="2 2">0 1 0 1</Array></LUT1D>`)), "2 channels"},
		{"one point", string(clfWith(`<LUT1D ` + f + `><Array dim="1 1">0</Array></LUT1D>`)), "1 point"},
		{"two arrays", string(clfWith(`<LUT3D ` + f + `>` + cube + cube + `</LUT3D>`)), "2 Arrays"},
		{"sides that differ", string(clfWith(`<LUT3D ` + f + `><Array dim="2 2 1 3">0 0 0 0 0 0 0 0 0 0 0 0</Array></LUT3D>`)), "the size [2 2 1 3]"},
		{"a huge dim", string(clfWith(`<LUT3D ` + f + `><Array dim="65536 65536 65536 65536">0</Array></LUT3D>`)), "too large"},
		{"an unknown interpolation", string(clfWith(`<LUT3D ` + f + ` interpolation="cubic">` + cube + `</LUT3D>`)), `"cubic"`},
		{"a matrix of two rows", string(clfWith(`<Matrix ` + f + `><Array dim="2 3">1 2 3 4 5 6</Array></Matrix>`)), "the size [2 3]"},
		{"a range upside down", string(clfWith(`<Range ` + f + `><minInValue>1</minInValue><maxInValue>0</maxInValue><minOutValue>0</minOutValue><maxOutValue>1</maxOutValue></Range>`)), "not below its greatest"},
		{"a range with half a limit", string(clfWith(`<Range ` + f + `><minInValue>1</minInValue></Range>`)), "only one of in and out"},
		{"no log parameters", string(clfWith(`<Log ` + f + ` style="linToLog"/>`)), "0 channels"},
		{"a camera log without its break", string(clfWith(`<Log ` + f + ` style="cameraLinToLog"><LogParams base="10"/></Log>`)), "no linSideBreak"},
		{"a base of 1", string(clfWith(`<Log ` + f + ` style="linToLog"><LogParams base="1"/></Log>`)), "base must be above 0"},
		{"a channel twice", string(clfWith(`<Exponent ` + f + ` style="basicFwd"><ExponentParams exponent="2"/><ExponentParams channel="G" exponent="2"/></Exponent>`)), "twice for channel G"},
		{"a channel unknown", string(clfWith(`<Exponent ` + f + ` style="basicFwd"><ExponentParams channel="A" exponent="2"/></Exponent>`)), `channel "A"`},
		{"no exponent", string(clfWith(`<Exponent ` + f + ` style="basicFwd"/>`)), "no ExponentParams"},
		{"an offset on a plain power", string(clfWith(`<Exponent ` + f + ` style="basicFwd"><ExponentParams exponent="2" offset="0.1"/></Exponent>`)), "belongs to the monCurve"},
		{"a CDL without an inverse", string(clfWith(`<ASC_CDL ` + f + ` style="Rev">` + sop + `</ASC_CDL>`)), "no inverse"},
		{"an unknown CDL style", string(clfWith(`<ASC_CDL ` + f + ` style="Back"/>`)), `style "Back"`},
		{"a negative saturation", string(clfWith(`<ASC_CDL ` + f + `><SatNode><Saturation>-1</Saturation></SatNode></ASC_CDL>`)), "too small"},
		{"levels without end", strings.Repeat("<ProcessList>", 40), "levels"},
	} {
		_, err := ReadLUT([]byte(c.text), "x.clf")
		if film.CodeOf(err) != film.CodeUnreadable || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
	}
}

func TestSPIRefusals(t *testing.T) {
	const head1 = "Version 1\nFrom 0 1\nLength 2\nComponents 1\n{\n"
	const head3 = "SPILUT 1.0\n3 3\n2 2 2\n"
	rows := ""
	for i := range 8 {
		rows += fmt.Sprintf("%d %d %d 0 0 0\n", i&1, i>>1&1, i>>2)
	}
	for _, c := range []struct{ name, text, want string }{
		{"good curve", head1 + "0\n1\n}\n", ""},
		{"good table", head3 + rows, ""},
		{"a row missing", head1 + "0\n}\n", "1 rows instead of 2"},
		{"no end", head1 + "0\n1\n", "do not end"},
		{"too many numbers", head1 + "0 1\n1\n}\n", "line 6"},
		{"an unknown word", "Version 1\nTo 0 1\n", "line 2"},
		{"version 2", "Version 2\n", "line 1"},
		{"upside down", "Version 1\nFrom 1 0\n", "line 2: the domain"},
		{"nothing said", "Version 1\n{\n0\n}\n", "do not all stand"},
		{"sides that differ", "SPILUT 1.0\n3 3\n2 3 2\n", "line 3: the sizes differ"},
		{"a point twice", head3 + strings.Replace(rows, "1 0 0 ", "0 0 0 ", 1), "line 5: this point stands twice"},
		{"an index too high", head3 + strings.Replace(rows, "1 0 0 ", "2 0 0 ", 1), "line 5: 2 is not within"},
		{"a row too many", head3 + rows + "0 0 0 0 0 0\n", "9 rows"},
	} {
		_, err := ReadLUT([]byte(c.text), "x")
		if (c.want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
