package cli

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/job"
)

func (a *app) logCommand() *cobra.Command {
	var paper, day, tell string
	cmd := &cobra.Command{
		Use: "log DIR", Short: "The log of the day: the passes, their files, what is owed",
		Long: `Tells the passes of the log with the camera files that they are, which files are in
no log, which passes have no file, what is not sure, and what the song still needs.

With --paper a log kept on paper is taken in, a line for each pass: its number, setup,
time, keep, perhaps or lost. What a line leaves out is taken over from the one before.

` + exitCodes,
		Example: "  takeweave log slow-ferry\n  takeweave log slow-ferry --paper day.txt --day 2026-03-14\n  takeweave log slow-ferry --tell \"hands/C0012.MP4=7\"",
		Args:    exactly(1, "the folder of the film: takeweave log DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				if paper != "" {
					if err := takePaper(cmd, w, paper, day); err != nil {
						return err
					}
				}
				if tell != "" {
					file, passes, ok := strings.Cut(tell, "=")
					if !ok {
						return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q does not say which pass", tell), Hint: "write FILE=7, or FILE= for a file that is in no log"}
					}
					if err := w.TellFile(cmd.Context(), file, strings.FieldsFunc(passes, func(r rune) bool { return r == ',' || r == ' ' })); err != nil {
						return err
					}
				}
				d, err := w.Day(cmd.Context())
				if err != nil {
					return err
				}
				a.partly = len(d.Tying.Questions)+len(d.Tying.Missing) > 0
				return a.show(dayTold(d), func(out io.Writer) { sayDay(out, d) })
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&paper, "paper", "", "take in a log that was kept on paper, from this text file")
	f.StringVar(&day, "day", "", "the day of the paper, such as 2026-03-14 (default: today)")
	f.StringVar(&tell, "tell", "", "say which pass a file is: FILE=7; FILE= is in no log")
	return cmd
}

func takePaper(cmd *cobra.Command, w *job.Work, path, day string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return &film.Error{Code: film.CodeNotFound, Path: path, Msg: "cannot be read", Hint: "check the path", Err: err}
	}
	on := w.Store.Now()
	if day != "" {
		if on, err = time.ParseInLocation("2006-01-02", day, time.Local); err != nil {
			return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is no day", day), Hint: "write it like 2026-03-14"}
		}
	}
	_, err = w.TakePaper(cmd.Context(), string(text), on)
	return err
}

// dayJSON is the day as JSON.
type dayJSON struct {
	Entries []daylog.Entry `json:"entries"`
	Tying   daylog.Tying   `json:"files"`
	Advice  []string       `json:"advice"`
	Stop    string         `json:"if_stopped_now"`
}

func dayTold(d *job.Day) dayJSON {
	out := dayJSON{Entries: d.Log.Entries, Tying: d.Tying, Advice: []string{}, Stop: d.Stop.Say}
	for _, a := range d.Advice {
		out.Advice = append(out.Advice, a.Say)
	}
	return out
}

func sayDay(out io.Writer, d *job.Day) {
	files := map[string][]string{}
	for _, t := range d.Tying.Tied {
		for _, e := range t.Entries {
			files[e] = append(files[e], t.File)
		}
	}
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for i := range d.Log.Entries {
		e := &d.Log.Entries[i]
		file := strings.Join(files[e.ID], ", ")
		switch {
		case file != "":
		case slices.Contains(d.Tying.Missing, e.ID):
			file = "logged, no file"
		default:
			file = "not known yet"
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", e.Say(), e.Verdict, e.Lines, file)
	}
	_ = t.Flush()
	for _, f := range d.Tying.Unlogged {
		fmt.Fprintf(out, "  %s is in no log\n", f)
	}
	for _, q := range d.Tying.Questions {
		fmt.Fprintln(out, "  not sure:", q.Text)
	}
	for i, a := range d.Advice {
		if i < 3 {
			fmt.Fprintln(out, a.Say)
		}
	}
	if d.Stop.Say != "" {
		fmt.Fprintln(out, d.Stop.Say)
	}
}
