package interchange

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

func TestWriteWebVTT(t *testing.T) {
	var b bytes.Buffer
	err := WriteWebVTT(&b, []Cue{
		{ID: "A1.1", From: 1, To: 4.0004, Rows: []string{"The harbour lamps", "are turning low"}},
		{From: 3661.5, To: 3663.04, Rows: []string{"ropes & knots <3 --> home"}, Top: true},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := `WEBVTT

A1.1
00:00:01.000 --> 00:00:04.000
The harbour lamps
are turning low

01:01:01.500 --> 01:01:03.040 line:0
ropes &amp; knots &lt;3 --&gt; home
`
	if d := cmp.Diff(want, b.String()); d != "" {
		t.Error(d)
	}
}

func TestWriteWebVTTRefuses(t *testing.T) {
	for name, cues := range map[string][]Cue{
		"no text":          {{From: 1, To: 2, Rows: []string{" "}}},
		"no time":          {{From: 1, To: 1.0001, Rows: []string{"home"}}},
		"backwards":        {{From: 2, To: 1, Rows: []string{"home"}}},
		"out of order":     {{From: 2, To: 3, Rows: []string{"home"}}, {From: 1, To: 3, Rows: []string{"home"}}},
		"arrow in its ID":  {{ID: "a --> b", From: 1, To: 2, Rows: []string{"home"}}},
		"break in its ID":  {{ID: "a\n\nb", From: 1, To: 2, Rows: []string{"home"}}},
		"before the start": {{From: -1, To: 2, Rows: []string{"home"}}},
	} {
		if err := WriteWebVTT(&bytes.Buffer{}, cues); err == nil {
			t.Errorf("%s: written", name)
		}
	}
}

// Source: [WEBVTT], section 4: header, breaks, times with and without hours,
// blocks that are no cues, settings, escapes, overlaps.
func TestReadWebVTT(t *testing.T) {
	home := []string{"home"}
	for _, c := range []struct {
		name, text string
		want       []Cue
	}{
		{"nothing but the header", "WEBVTT", nil},
		{"byte order mark and a title", "\ufeffWEBVTT Slow Ferry Home\n\n00:01.000 --> 00:02.000\nhome", []Cue{{From: 1, To: 2, Rows: home}}},
		{"CRLF", "WEBVTT\r\n\r\n00:01.000 --> 00:02.000\r\nhome\r\n", []Cue{{From: 1, To: 2, Rows: home}}},
		{"CR", "WEBVTT\r\r00:01.000 --> 00:02.000\rhome\r", []Cue{{From: 1, To: 2, Rows: home}}},
		{"hours and tabs", "WEBVTT\n\n100:00:01.000\t-->\t100:00:02.500\thome", nil},
		{"an identifier", "WEBVTT\n\nA1.1\n01:00:01.000 --> 01:00:02.500\nhome", []Cue{{ID: "A1.1", From: 3601, To: 3602.5, Rows: home}}},
		{"notes, styles, regions", "WEBVTT\n\nREGION\nid:r\n\nSTYLE\n::cue { color: white }\n\nNOTE by hand\nof Nell\n\n00:01.000 --> 00:02.000\nhome\n\nNOTE\n", []Cue{{From: 1, To: 2, Rows: home}}},
		{"the top", "WEBVTT\n\n00:01.000 --> 00:02.000 align:center line:10%\nhome", []Cue{{From: 1, To: 2, Rows: home, Top: true}}},
		{"the bottom", "WEBVTT\n\n00:01.000 --> 00:02.000 line:-1\nhome", []Cue{{From: 1, To: 2, Rows: home}}},
		{"tags and escapes", "WEBVTT\n\n00:01.000 --> 00:02.000\n<v Nell>ropes &amp; <i>knots</i>\n&lt;3", []Cue{{From: 1, To: 2, Rows: []string{"ropes & knots", "<3"}}}},
		{"overlaps", "WEBVTT\n\n00:01.000 --> 00:05.000\nhome\n\n00:02.000 --> 00:03.000\nhome", []Cue{{From: 1, To: 5, Rows: home}, {From: 2, To: 3, Rows: home}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadWebVTT(strings.NewReader(c.text), "a.vtt")
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

// Source: [WEBVTT], section 4: what its syntax does not allow.
func TestReadWebVTTRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, line string }{
		{"empty", "", "line 1:"},
		{"no header", "00:01.000 --> 00:02.000\nhome", "line 1:"},
		{"a longer word", "WEBVTTX\n\n", "line 1:"},
		{"no blank line", "WEBVTT\n00:01.000 --> 00:02.000\nhome", "line 2:"},
		{"a comma", "WEBVTT\n\n00:01,000 --> 00:02,000\nhome", "line 3:"},
		{"two decimals", "WEBVTT\n\nfirst\n00:01.00 --> 00:02.000\nhome", "line 4:"},
		{"sixty seconds", "WEBVTT\n\n00:60.000 --> 02:02.000\nhome", "line 3:"},
		{"one digit", "WEBVTT\n\n0:01.000 --> 00:02.000\nhome", "line 3:"},
		{"negative", "WEBVTT\n\n-00:01.000 --> 00:02.000\nhome", "line 3:"},
		{"no space", "WEBVTT\n\n00:01.000-->00:02.000\nhome", "line 3:"},
		{"backwards", "WEBVTT\n\n00:03.000 --> 00:02.000\nhome", "line 3:"},
		{"out of order", "WEBVTT\n\n00:03.000 --> 00:04.000\nhome\n\n00:02.000 --> 00:04.000\nhome", "line 6:"},
		{"two cues without a blank line", "WEBVTT\n\n00:01.000 --> 00:02.000\nhome\n00:02.000 --> 00:03.000\nhome", "line 5:"},
		{"text alone", "WEBVTT\n\nhome", "line 3:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadWebVTT(strings.NewReader(c.text), "a.vtt")
			if err == nil {
				t.Fatalf("read as %+v", got)
			}
			if film.CodeOf(err) != film.CodeUnreadable || !strings.Contains(err.Error(), c.line) {
				t.Errorf("%v, want it to name %q", err, c.line)
			}
		})
	}
}

func FuzzWebVTT(f *testing.F) {
	f.Add("WEBVTT\n\nA1.1\n00:01.000 --> 00:02.000 line:0\nropes &amp; <b>knots</b> &lt;b&gt;\nhome\n")
	f.Add("WEBVTT\n\n\x00\n00:01.000 --> 00:02.000\n&amp;lt; \ufeff\n")
	f.Fuzz(func(t *testing.T, text string) {
		cues, err := ReadWebVTT(strings.NewReader(text), "")
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := WriteWebVTT(&b, cues); err != nil {
			t.Fatalf("%+v was read but is not written: %v", cues, err)
		}
		again, err := ReadWebVTT(&b, "")
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(cues, again); d != "" {
			t.Error(d)
		}
	})
}
