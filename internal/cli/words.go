package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"runtime/debug"
	"strings"
	"text/tabwriter"

	"takeweave/internal/film"
	"takeweave/internal/handover"
	"takeweave/internal/job"
)

func printJSON(w io.Writer, v any) error {
	return json.NewEncoder(w).Encode(v)
}

// sayHowSong says what was found in the record.
func sayHowSong(w io.Writer, s film.Song) {
	fmt.Fprintf(w, "Song: %s, %d beats at about %.0f a minute, %d lines in %d sections", minutes(float64(s.Duration)), len(s.Beats), s.TempoBPM, len(s.Lines), len(s.Sections))
	if len(s.Sections) > 0 {
		var names []string
		for _, c := range s.Sections {
			names = append(names, c.Name)
		}
		fmt.Fprintf(w, " (%s)", strings.Join(names, " "))
	}
	fmt.Fprintln(w)
	if s.Sureness < 0.3 {
		fmt.Fprintln(w, "The pulse is hard to hear in this record: beats and lines are a guess.")
	}
}

func minutes(seconds float64) string {
	t := int(seconds + 0.5)
	return fmt.Sprintf("%d:%02d min", t/60, t%60)
}

// sayPasses lists the passes with the answer of each.
func sayPasses(w io.Writer, passes []job.Pass, judged bool) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, p := range passes {
		word := map[film.Status]string{film.Aligned: "lined up", film.Refused: "refused", film.Silent: "silent"}[p.LineUp.Status]
		reason := p.LineUp.Reason
		switch {
		case p.Clip.SoundOnly:
			word = "sound"
		case judged && p.LineUp.Status == film.Aligned:
			reason = fmt.Sprintf("agrees for %.0f of %.0f s; %s", agreeingSeconds(p.Agreement), p.LineUp.Covered, reason)
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", p.Name, p.Clip.Setup, word, reason)
	}
	_ = t.Flush()
}

func agreeingSeconds(all []film.Agreement) float64 {
	n := 0
	for _, a := range all {
		for _, s := range a.Score {
			if s >= film.Agrees {
				n++
			}
		}
	}
	return float64(n) * film.AgreementStep
}

// sayPictures tells what was seen of each pass.
func sayPictures(w io.Writer, seen []job.PictureOf) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, p := range seen {
		words := "nothing to complain of"
		if len(p.Faults) > 0 {
			words = strings.Join(p.Faults, ", ")
		}
		face := "no face seen"
		if p.FaceShare > 0 {
			face = fmt.Sprintf("a face for %.0f %% of the time", 100*p.FaceShare)
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", p.Pass, p.Setup, words, face)
	}
	_ = t.Flush()
}

// sayExplained tells where one pass agrees and where it does not.
func sayExplained(w io.Writer, e job.Explained) {
	fmt.Fprintf(w, "%s: %s\n", e.Pass, e.Reason)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range e.Stretches {
		mark := "  "
		if !s.Agrees {
			mark = "x "
		}
		fmt.Fprintf(t, "%s%s\tto %s\t%.1f s\tat %.1f s of the pass\t%s\t(line-up within %.0f ms)\n", mark, s.From, s.To, s.Span.Len(), float64(s.Pass), s.Reason, s.ErrorMS)
	}
	_ = t.Flush()
	if e.Listen != "" {
		fmt.Fprintf(w, "\nTo check by ear, with headphones and a low level first: %s\nThe record is on the left, the pass on the right, each line of the song at one slip. A split of 20 to 30 ms is heard as a double attack.\n", relative(e.Listen))
	}
}

// sayCut lists the shots.
func sayCut(w io.Writer, c film.Cut, song film.Song) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range c.Shots {
		from := c.At(s.First)
		file := s.File
		if file == "" {
			file = "(no picture)"
		}
		fmt.Fprintf(t, "  %s\t%.2f s\t%s\t%s\t%.1f s\t%s\n", song.Address(from+film.SongTime(2*c.Rate.FrameSeconds())), from, file, s.Setup, c.Rate.FrameStart(s.End-s.First), s.Why)
	}
	_ = t.Flush()
	sayCutFigures(w, handover.FiguresOf(c, song))
}

func sayCutFigures(w io.Writer, f handover.Figures) {
	fmt.Fprintf(w, "Cut: %d shots of %.1f s on average; %.0f %% of the music is shown by shots that agree with the record.\n", f.Shots, f.MeanShot, 100*f.Agreeing)
	fmt.Fprintf(w, "Inside a shot, picture and record part by %.0f ms (median) and %.0f ms at the worst; the line-up itself is right within %.0f ms at 9 of 10 onsets.\n", f.HoldMedianMS, f.HoldWorstMS, f.MapErrorP90MS)
	if f.NotAgreeing > 0 {
		fmt.Fprintf(w, "In %d shots nothing agrees with the record: they show the least bad pass and say so in the report.\n", f.NotAgreeing)
	}
	if f.Holes > 0 {
		fmt.Fprintf(w, "%d shots have no picture: nothing was filmed for those moments.\n", f.Holes)
	}
}

// sayFigures tells about a finished film.
func sayFigures(w io.Writer, h job.HandedOver) {
	sayCutFigures(w, h.Figures)
	fmt.Fprintf(w, "%d × %d, %s frames a second, %.1f MB.\n", h.Format.Width, h.Format.Height, h.Format.Rate, float64(h.Bytes)/1e6)
	for _, l := range h.Left {
		fmt.Fprintln(w, "Not written into the picture:", l)
	}
	if h.Checked.Words != "" {
		fmt.Fprintf(w, "The finished file, examined: %s.\n", h.Checked.Words)
	}
}

func buildVersion() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "unknown"
	}
	return info.Main.Version
}
