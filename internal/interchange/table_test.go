package interchange

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// TestTable writes a small film whose cells can be worked out by hand: 25 frames
// a second, time code from 01:00:00:00, a clip at 29.97.
func TestTable(t *testing.T) {
	out := Outgoing{
		Start: 90000,
		Cut: film.Cut{Rate: pal, Frames: 75, Shots: []film.Shot{
			{End: 50, Clip: 1, File: `a "good" one.mov`, Pass: "wide, 1", Setup: "wide", SourceStart: 60.06, Speed: 1.5, Agreement: 0.97, Why: "agrees"},
			{First: 50, End: 75, Why: "nothing was filmed\nhere"},
		}},
		Clips: []film.Clip{{ID: 1, Rate: ntsc30}},
		Song: film.Song{
			Sections: []film.Section{{Name: "A1", Span: film.SongSpan{To: 3}}},
			Lines:    []film.Line{{Number: 1, Span: film.SongSpan{To: 2}}, {Number: 2, Span: film.SongSpan{From: 2, To: 3}}},
		},
	}
	got, err := WriteTable(out, []float64{-12.34, 0})
	if err != nil {
		t.Fatal(err)
	}
	// 60.06 s are frame 1800 at 29.97, whose code is 00:01:00;02; 2 s at 150 %
	// take 3 s of the clip, to 63.06 s, frame 1889.9. Line ends, quotes and
	// doubled quotes as in [RFC4180], section 2.
	want := "shot,film_in,film_out,first_frame,end_frame,song,file,pass,setup,source_in_s,source_out_s,source_in,source_out,speed,slip_ms,agreement,why\r\n" +
		`1,01:00:00:00,01:00:02:00,0,50,A1.1/1,"a ""good"" one.mov","wide, 1",wide,60.06,63.06,00:01:00;02,00:01:03;02,1.5,-12.3,0.97,agrees` + "\r\n" +
		`2,01:00:02:00,01:00:03:00,50,75,A1.2/1,,,,,,,,,,,"nothing was filmed` + "\r\n" + `here"` + "\r\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestTableComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := anyFilm(t)
		plain := strings.NewReplacer("\r", "") // the format has none within a cell
		for i := range out.Clips {
			c := &out.Clips[i]
			c.File, c.Path = plain.Replace(c.File), plain.Replace(c.Path)
		}
		for i := range out.Cut.Shots {
			s := &out.Cut.Shots[i]
			s.File, s.Pass = plain.Replace(s.File), plain.Replace(s.Pass)
		}
		text, err := WriteTable(out, nil)
		if err != nil {
			t.Fatal(err)
		}
		in, err := ReadTable(text, "cut.csv", out.Cut.Rate, out.Start)
		if err != nil {
			t.Fatal(err)
		}
		if len(in.Shots) != len(out.Cut.Shots) || in.Frames != out.Cut.Frames {
			t.Fatalf("%d shots, %d frames", len(in.Shots), in.Frames)
		}
		for i, s := range in.Shots {
			w := out.Cut.Shots[i]
			if s.First != w.First || s.End != w.End || s.File != w.File || s.Name != w.Pass || s.Hole != (w.File == "") || !s.Hole && (s.SourceStart != w.SourceStart || s.Speed != w.Speed) {
				t.Fatalf("%+v came back as %+v", w, s)
			}
		}
		if told, err := Differences(Present{out.Cut, out.Clips, out.Song, out.Record}, in); err != nil || len(told) > 0 {
			t.Fatalf("differences: %+v, %v", told, err)
		}
	})
}

func TestTableByHand(t *testing.T) {
	in, err := ReadTable([]byte("\ufefffilm_out,film_in,source_in_s,file\n00:00:02:00,00:00:01:00,3.5,a.mov\n00:00:00:10,00:00:00:00,1,b.mov\n"), "cut.csv", pal, 0)
	if err != nil {
		t.Fatal(err)
	}
	mustCover(t, in)
	if len(in.Shots) != 3 || in.Shots[0].File != "b.mov" || !in.Shots[1].Hole || in.Shots[2].First != 25 || in.Shots[2].SourceStart != 3.5 || in.Shots[2].Speed != 1 {
		t.Errorf("the shots are %+v", in.Shots)
	}
	in, err = ReadTable([]byte("film_out,film_in,source_in_s,file\n01:00:00:10,01:00:00:00,1,b.mov\n"), "cut.csv", pal, 90000)
	if err != nil || len(in.Shots) != 1 || in.Shots[0].First != 0 || in.Shots[0].End != 10 {
		t.Errorf("from an hour on: %+v, %v", in, err)
	}
	for text, says := range map[string]string{
		"":                          "empty",
		"file,first_frame\na.mov,0": `no column "source_in_s"`,
		"file,source_in_s,first_frame,end_frame\na,1,0,10\nb,1,9,12":     "frame 9",
		"file,source_in_s,first_frame,end_frame\na,1,5,5":                "row 2",
		"file,source_in_s,first_frame,end_frame\na,1,-5,5":               "row 2",
		"file,source_in_s,first_frame,end_frame\na,1,0,10\nb,x,10,12":    `row 3: source_in_s "x"`,
		"file,source_in_s,first_frame,end_frame\na,1,0,1e3":              `end_frame "1e3"`,
		"file,source_in_s,first_frame,end_frame,speed\na,1,0,10,NaN":     `speed "NaN"`,
		"file,source_in_s,film_in,film_out\na,1,00:00:00:00,00:00:01:25": "film_out",
		"file,source_in_s\n\"a,1":                                        "quote",
	} {
		_, err := ReadTable([]byte(text), "cut.csv", pal, 0)
		if err == nil || !strings.Contains(err.Error(), says) || film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// FuzzReadTable wants of any bytes an error with a way out or a list that covers
// its frames once, in order.
func FuzzReadTable(f *testing.F) {
	f.Add([]byte("file,source_in_s,first_frame,end_frame,speed\r\n\"a,b\",1.5,3,10,-1\r\n,,10,12,\r\n"))
	f.Add([]byte("film_in,film_out,file,source_in_s\n00:00:00:00,00:00:59:24,a.mov,1e3\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		in, err := ReadTable(text, "fuzz.csv", pal, 0)
		if err != nil {
			if film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
				t.Fatalf("an error without a way out: %v", err)
			}
			return
		}
		mustCover(t, in)
	})
}
