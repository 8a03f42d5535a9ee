package songmap

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// anySong draws a valid map: uneven beats, a pickup, bars that lose count, lines
// and sections of any length.
func anySong(t *rapid.T) film.Song {
	perBar := rapid.IntRange(2, 6).Draw(t, "per bar")
	n := rapid.SampledFrom([]int{40, 24, 60, 12, 5, 1}).Draw(t, "beats")
	d := &draft{Song: film.Song{BeatsPerBar: perBar, TempoBPM: 100}}
	at := film.SongTime(rapid.Float64Range(0, 3).Draw(t, "first"))
	inBar := rapid.IntRange(0, perBar-1).Draw(t, "pickup")
	for range n {
		d.Beats = append(d.Beats, film.Beat{At: at, InBar: inBar})
		at += film.SongTime(rapid.Float64Range(0.15, 1.5).Draw(t, "step"))
		inBar = (inBar + 1) % perBar
		if rapid.IntRange(0, 20).Draw(t, "lose count") == 0 {
			inBar = 0
		}
	}
	d.Music = film.SongSpan{From: d.Beats[0].At, To: at}
	d.Duration = at + film.SongTime(rapid.Float64Range(0, 5).Draw(t, "end"))
	d.Lines = []film.Line{{Span: film.SongSpan{From: d.Beats[0].At}}}
	d.Sections = []film.Section{{Name: "A1", Letter: "A"}}
	for i := 1; i < n; i++ {
		if rapid.IntRange(0, 5).Draw(t, "line") < 5 {
			continue
		}
		if rapid.IntRange(0, 2).Draw(t, "section") == 2 {
			letter := rapid.SampledFrom([]string{"A", "B", "C"}).Draw(t, "letter")
			d.Sections = append(d.Sections, film.Section{Name: d.freeName(letter), Letter: letter})
		}
		d.Lines = append(d.Lines, film.Line{Section: len(d.Sections) - 1, Span: film.SongSpan{From: d.Beats[i].At}})
	}
	d.Lines[0].Text = anyText.Draw(t, "first text")
	d.Rests = []film.Rest{{At: d.Beats[n/2].At, Breath: true}}
	d.MustSee = []film.MustSee{{Span: d.Music, Shows: film.ShowsLips}, {Span: d.Music, Shows: film.ShowsHands, Text: "the run"}}
	d.rebuild()
	if err := Check(d.Song); err != nil {
		t.Fatalf("drew a broken song: %v", err)
	}
	return d.Song
}

var anyText = rapid.SampledFrom([]string{"", "gone", "the ferry leaves at nine", "oh / oh", "…", "a b c d e f g h i j", "Straße, naïve"})

var anyLyrics = rapid.SampledFrom([]string{
	"one\ntwo", "[Verse]\na b\nc d\n\n[Chorus]\nhey now\n\n[Verse]\ne\nf\n\n[Chorus]\n", "\n\n", "x\n\nx\n\ny\n\nx",
	"1\n2\n3\n4\n5\n6\n7\n8\n9\n10\n11\n12\n13\n14\n15\n16\n17\n18\n19\n20",
})

// anyEdit draws an edit of any kind, in range more often than not.
func anyEdit(t *rapid.T, s film.Song) Edit {
	index := func(n int) int { return rapid.IntRange(-1, n).Draw(t, "index") }
	at := func() film.SongTime {
		if rapid.Bool().Draw(t, "near a beat") {
			b := s.Beats[rapid.IntRange(0, len(s.Beats)-1).Draw(t, "beat")].At
			return b + film.SongTime(rapid.Float64Range(-0.3, 0.3).Draw(t, "off"))
		}
		return film.SongTime(rapid.Float64Range(-1, float64(s.Duration)+1).Draw(t, "at"))
	}
	maybe := func() *film.SongTime {
		if rapid.Bool().Draw(t, "is given") {
			return new(at())
		}
		return nil
	}
	span := func() *film.SongSpan {
		if rapid.Bool().Draw(t, "is whole") {
			return nil
		}
		return &film.SongSpan{From: at(), To: at()}
	}
	line, section := index(len(s.Lines)), index(len(s.Sections))
	all := map[string]func() Change{
		"move-beat": func() Change { return MoveBeat{index(len(s.Beats)), at()} },
		"add-beat":  func() Change { return AddBeat{at()} },
		"drop-beat": func() Change { return DropBeat{index(len(s.Beats))} },
		"tap": func() Change {
			e := Tap{Times: []film.SongTime{}}
			from, step := at(), film.SongTime(rapid.Float64Range(0.05, 1.5).Draw(t, "step"))
			for k := range rapid.IntRange(0, 12).Draw(t, "taps") {
				e.Times = append(e.Times, from+film.SongTime(k)*step+film.SongTime(rapid.Float64Range(-0.1, 0.1).Draw(t, "hand")))
			}
			return e
		},
		"half-tempo":   func() Change { return HalfTempo{span()} },
		"double-tempo": func() Change { return DoubleTempo{span()} },
		"shift-downbeat": func() Change {
			e := ShiftDownbeat{By: rapid.IntRange(-5, 5).Draw(t, "by")}
			if rapid.Bool().Draw(t, "from a beat on") {
				e.From = new(index(len(s.Beats)))
			}
			return e
		},
		"beats-per-bar": func() Change { return BeatsPerBar{rapid.IntRange(1, 17).Draw(t, "per bar")} },
		"split-line":    func() Change { return SplitLine{line, at()} },
		"join-line":     func() Change { return JoinLine{line} },
		"move-line": func() Change {
			if len(s.Lines) < 3 || rapid.Bool().Draw(t, "anywhere") {
				return MoveLine{line, maybe(), maybe()}
			}
			i := rapid.IntRange(1, len(s.Lines)-2).Draw(t, "inner line")
			return MoveLine{Line: i, From: new(s.Lines[i].Span.From + film.SongTime(rapid.Float64Range(-2, 2).Draw(t, "by")))}
		},
		"name-section": func() Change {
			return NameSection{section, rapid.SampledFrom([]string{"", "A1", "b1", "Chorus", "2", "x.1", "a/b", "A-B", "inf"}).Draw(t, "name")}
		},
		"section-start": func() Change {
			return SectionStart{line, rapid.SampledFrom([]string{"", "A", "B", "b", "Q"}).Draw(t, "letter")}
		},
		"section-drop": func() Change { return SectionDrop{section} },
		"pace":         func() Change { return Pace{section, rapid.SampledFrom([]float64{-1, 0, 0.1, 3, 6}).Draw(t, "pace")} },
		"lyrics":       func() Change { return Lyrics{anyLyrics.Draw(t, "lyrics")} },
		"line-text":    func() Change { return LineText{line, anyText.Draw(t, "text")} },
		"words": func() Change {
			e := Words{Line: line}
			if line >= 0 && line < len(s.Lines) && rapid.Bool().Draw(t, "with times") {
				from := s.Lines[line].Span.From
				for range rapid.IntRange(1, 4).Draw(t, "words") {
					to := from + film.SongTime(rapid.Float64Range(-0.1, 0.8).Draw(t, "lasts"))
					e.Words = append(e.Words, film.Word{Span: film.SongSpan{From: from, To: to}, Text: rapid.SampledFrom([]string{"la", "gone,", "two words", "…"}).Draw(t, "word")})
					from = to
				}
			}
			return e
		},
		"must-see": func() Change {
			e := MustSee{Span: span(), Shows: rapid.SampledFrom([]film.Shows{"hands", "lips", "both", "neither", ""}).Draw(t, "shows"), Before: film.Frames(rapid.IntRange(-1, 20).Draw(t, "before")), Text: anyText.Draw(t, "text")}
			if e.Span == nil {
				e.Where = rapid.SampledFrom([]string{"A1", "A1.1", "A1.1/2", "1", "1-2", "nowhere"}).Draw(t, "where")
			}
			if rapid.Bool().Draw(t, "changes one") {
				e.Index = new(index(len(s.MustSee)))
			}
			return e
		},
		"drop-must-see": func() Change { return DropMustSee{index(len(s.MustSee))} },
		"rest":          func() Change { return Rest{at(), rapid.Bool().Draw(t, "breath")} },
		"drop-rest":     func() Change { return DropRest{index(len(s.Rests))} },
	}
	return Edit{all[kinds[rapid.IntRange(0, len(kinds)-1).Draw(t, "kind")].name]()}
}

func TestEveryEditLeavesAValidSong(t *testing.T) {
	done := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		song := anySong(t)
		for range 60 {
			e := anyEdit(t, song)
			before := asJSON(t, song)
			var read Edit
			if b, err := json.Marshal(e); err != nil || json.Unmarshal(b, &read) != nil || !cmp.Equal(e.Change, read.Change) {
				t.Fatalf("%+v came back from JSON as %+v (%v)", e, read, err)
			}
			got, words, err := Apply(song, e)
			if diff := cmp.Diff(before, asJSON(t, song)); diff != "" {
				t.Fatalf("%s altered its input: %s", e.Kind(), diff)
			}
			if err != nil {
				var ours *film.Error
				if !errors.As(err, &ours) || ours.Code != film.CodeUsage || ours.Msg == "" || ours.Hint == "" {
					t.Fatalf("%+v fails with %#v", e, err)
				}
				if before != asJSON(t, got) {
					t.Fatalf("%s failed and gave another song", e.Kind())
				}
				continue
			}
			if err := Check(got); err != nil {
				t.Fatalf("%+v: %v", e, err)
			}
			if words == "" {
				t.Fatalf("%s says nothing", e.Kind())
			}
			if before == asJSON(t, got) {
				t.Fatalf("%s says %q and changes nothing", e.Kind(), words)
			}
			// What an edit may not touch.
			if got.Duration != song.Duration || got.Music != song.Music {
				t.Fatalf("%s changed the record", e.Kind())
			}
			done[e.Kind()]++
			song = got
		}
	})
	for _, k := range kinds {
		if done[k.name] == 0 {
			t.Errorf("%s was never done", k.name)
		}
	}
}

func asJSON(t *rapid.T, s film.Song) string {
	b, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// fourLines is a song by hand: 32 beats of 0.5 s from 1.0 s on, in bars of four
// that begin with the first; lines of two bars; sections A1 and B1 of two lines;
// the music lasts from 1 to 17 s of 18.
func fourLines() film.Song {
	d := &draft{Song: film.Song{Duration: 18, Music: film.SongSpan{From: 1, To: 17}, TempoBPM: 120, BeatsPerBar: 4}}
	for i := range 32 {
		d.Beats = append(d.Beats, film.Beat{At: 1 + film.SongTime(i)/2, InBar: i % 4})
	}
	d.Sections = []film.Section{{Name: "A1", Letter: "A"}, {Name: "B1", Letter: "B"}}
	for i := range 4 {
		d.Lines = append(d.Lines, film.Line{Section: i / 2, Span: film.SongSpan{From: d.Beats[8*i].At}})
	}
	d.rebuild()
	return d.Song
}

func ExampleApply() {
	song, words, err := Apply(fourLines(), Edit{MoveBeat{Index: 11, At: 6.54}})
	fmt.Println(words, song.Beats[11].At, err)
	// Output: beat 12 (A1.2/4) moved 40 ms later 6.54 <nil>
}
