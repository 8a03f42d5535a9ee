package songmap

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// formed is a song of sections written as letter and number of lines, "A4 B2";
// lines last two beats.
func formed(form string) film.Song {
	d := &draft{Song: film.Song{BeatsPerBar: 2}}
	for s, part := range strings.Fields(form) {
		var lines int
		fmt.Sscan(part[1:], &lines)
		d.Sections = append(d.Sections, film.Section{Name: d.freeName(part[:1]), Letter: part[:1]})
		for range lines {
			d.Lines = append(d.Lines, film.Line{Section: s, Span: film.SongSpan{From: film.SongTime(len(d.Beats))}})
			for range 2 {
				d.Beats = append(d.Beats, film.Beat{At: film.SongTime(len(d.Beats)), InBar: len(d.Beats) % 2})
			}
		}
	}
	d.Duration = film.SongTime(len(d.Beats))
	d.Music.To = d.Duration
	d.rebuild()
	return d.Song
}

func TestVerses(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []verse
	}{
		{"blank lines", "a\nb\n\n  c  c \n\n\nd", []verse{{"", []string{"a", "b"}}, {"", []string{"c c"}}, {"", []string{"d"}}}},
		{"headings", "[Verse 1]\na\nb\n[Chorus]\nc\nVerse 2:\nd", []verse{{"verse", []string{"a", "b"}}, {"chorus", []string{"c"}}, {"verse", []string{"d"}}}},
		{"a heading that repeats", "[Chorus]\nc\nd\n\n[Verse]\na\n\n[Chorus]\n\n[Verse 2]\nb\n[CHORUS x2]", []verse{{"chorus", []string{"c", "d"}}, {"verse", []string{"a"}}, {"chorus", []string{"c", "d"}}, {"verse", []string{"b"}}, {"chorus", []string{"c", "d"}}}},
		{"a blank line behind a heading", "Chorus\n\nc\n\nb", []verse{{"chorus", []string{"c"}}, {"", []string{"b"}}}},
		{"played parts", "[Intro]\n[Verse]\na\n[Solo]\n[Verse]\nb", []verse{{"verse", []string{"a"}}, {"verse", []string{"b"}}}},
		{"sung words that name parts", "over the\nbridge\nwe go", []verse{{"", []string{"over the", "bridge", "we go"}}}},
		{"headings in brackets", "[Verse 1: Nell]\na\n(Chorus 1)\nc\n(sung twice)\n[Verse 2 : all]\nb\n[chorus]", []verse{{"verse", []string{"a"}}, {"chorus", []string{"c", "(sung twice)"}}, {"verse", []string{"b"}}, {"chorus", []string{"c", "(sung twice)"}}}},
		{"carriage returns alone", "a\rb\r\rc", []verse{{"", []string{"a", "b"}}, {"", []string{"c"}}}},
		{"carriage returns", "a\r\nb\r\n\r\nc", []verse{{"", []string{"a", "b"}}, {"", []string{"c"}}}},
		{"nothing", " \n\n[Chorus]\n", nil},
	} {
		if diff := cmp.Diff(c.want, versesOf(c.text), cmp.AllowUnexported(verse{})); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}

func TestLyricsOnSections(t *testing.T) {
	for _, c := range []struct {
		name, form, text string
		want             []string // "" for a line without text
		words            string
	}{
		{
			"line for line", "A2 B2", "a\nb\n\nc\nd",
			[]string{"a", "b", "c", "d"},
			"4 lines of text laid on 4 lines",
		},
		{
			"played before, between and after", "I2 A3 B2 S3 A3 B2 O2", "[Verse]\na\nb\nc\n[Chorus]\nx\ny\n[Verse]\nd\ne\nf\n[Chorus]",
			[]string{"", "", "a", "b", "c", "x", "y", "", "", "", "d", "e", "f", "x", "y", "", ""},
			"10 lines of text laid on 10 lines; none on I1.1, I1.2, S1.1, S1.2, S1.3, O1.1 and 1 more",
		},
		{
			"by letter, where lengths do not tell", "A2 C2 B2 A2 B2", "[Verse]\na\nb\n[Chorus]\nx\ny\n[Verse]\nc\nd\n[Chorus]",
			[]string{"a", "b", "", "", "x", "y", "c", "d", "x", "y"},
			"",
		},
		{
			"by repeated text without headings", "A2 B2 C2 A2 B2", "a\nb\n\nX!\ny\n\nc\nd\n\nx\ny",
			[]string{"a", "b", "X!", "y", "", "", "c", "d", "x", "y"},
			"",
		},
		{
			"one verse over two sections", "A2 A2 B2", "a\nb\nc\nd\n\nx\ny",
			[]string{"a", "b", "c", "d", "x", "y"},
			"",
		},
		{
			"two lines of text on each", "A2 B2", "a\nb\nc\nd\n\nw\nx\ny\nz",
			[]string{"a / b", "c / d", "w / x", "y / z"},
			"8 lines of text laid on 4 lines; two or more on A1.1, A1.2, B1.1, B1.2",
		},
		{
			"on every other line", "A4 B4", "a\nb\n\nx\ny",
			[]string{"a", "", "b", "", "x", "", "y", ""},
			"",
		},
		{
			"a line more", "A4 B4", "a\nb\nc\nd\ne\n\nw\nx\ny\nz",
			[]string{"a", "b / c", "d", "e", "w", "x", "y", "z"},
			"9 lines of text laid on 8 lines; two or more on A1.2",
		},
		{
			"a line less", "A4 B4", "a\nb\nc\n\nw\nx\ny\nz",
			[]string{"a", "b", "", "c", "w", "x", "y", "z"},
			"",
		},
		{
			"too many", "A1", "a\nb\nc\nd",
			[]string{"a / b / c"},
			"3 lines of text laid on 1 line; two or more on A1.1; 1 line did not fit: “d”",
		},
		{
			"long lines where the text is long", "A1 B2 A3", "[Verse]\nfour\n[Chorus]\nand all the boats are out\nto sea\n[Verse]\ngone\nlong\nsince",
			[]string{"four", "and all the boats are out", "to sea", "gone", "long", "since"},
			"",
		},
		{
			"no blank lines, but a refrain", "A4 B2 A4 B2", "a\nb\nc\nd\nX,\ny\ne\nf\ng\nh\nx\ny",
			[]string{"a", "b", "c", "d", "X,", "y", "e", "f", "g", "h", "x", "y"},
			"",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, words := edited(t, formed(c.form), Lyrics{c.text})
			if diff := cmp.Diff(c.want, texts(got)); diff != "" {
				t.Error(diff)
			}
			if c.words != "" && words != c.words {
				t.Errorf("says %q\nwant %q", words, c.words)
			}
		})
	}
	refused(t, fourLines(), Lyrics{"[Chorus]\n\n"}, "no lines to sing")
	refused(t, fourLines(), Lyrics{strings.Repeat("la ", 200)}, "too long for one line")
	refused(t, fourLines(), Lyrics{strings.Repeat("la\n", 501)}, "more than a song has")
	clean, _ := edited(t, fourLines(), Lyrics{"a\x00\x1b[1m b"})
	if clean.Lines[0].Text+clean.Lines[1].Text+clean.Lines[2].Text+clean.Lines[3].Text != "a[1m b" {
		t.Errorf("%q", texts(clean))
	}
	again, _ := edited(t, fourLines(), Lyrics{"a\nb\n\nc\nd"})
	refused(t, again, Lyrics{"a\nb\n\nc\nd"}, "is so already")
	// Text that was there before goes.
	other, _ := edited(t, again, Lyrics{"x\ny"})
	if strings.Contains(strings.Join(texts(other), ""), "a") {
		t.Errorf("%q", texts(other))
	}
}

func BenchmarkLongLyrics(b *testing.B) {
	song := formed(strings.Repeat("A4 B4 C4 B4 ", 8))
	text := Lyrics{strings.Repeat("[Verse]\na\nb\nc\nd\n[Chorus]\nw\nx\ny\nz\n[Bridge]\nu\nv\n", 12)}
	for b.Loop() {
		if _, _, err := Apply(song, Edit{text}); err != nil {
			b.Fatal(err)
		}
	}
}

// Whatever the form and the text, every line of text is on the song or named as
// left, and the order stays.
func TestNoTextIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		song := anySong(t)
		var want []string
		var text strings.Builder
		for i := range rapid.IntRange(1, 60).Draw(t, "lines") {
			if rapid.IntRange(0, 4).Draw(t, "blank") == 0 {
				text.WriteString("\n")
			}
			if rapid.IntRange(0, 8).Draw(t, "heading") == 0 {
				fmt.Fprintf(&text, "[Part %d]\n", i)
			}
			line := fmt.Sprintf("line%d", i)
			want = append(want, line)
			text.WriteString(line + "\n")
		}
		got, words, err := Apply(song, Edit{Lyrics{text.String()}})
		if err != nil {
			t.Fatal(err)
		}
		var laid []string
		for _, l := range got.Lines {
			laid = append(laid, wordsIn(l.Text)...)
		}
		_, left, _ := strings.Cut(words, "did not fit: “")
		lost := map[string]bool{}
		for _, w := range wordsIn(strings.Trim(left, "”")) {
			lost[w] = true
		}
		var both []string
		k := 0
		for _, w := range want {
			switch {
			case k < len(laid) && laid[k] == w:
				both = append(both, w)
				k++
			case lost[w]:
				both = append(both, w)
			}
		}
		if diff := cmp.Diff(want, both); diff != "" || k != len(laid) {
			t.Fatalf("%s: %s", words, diff)
		}
	})
}
