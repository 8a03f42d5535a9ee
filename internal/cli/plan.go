package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/plan"
	"takeweave/internal/store"
)

// planOptions are the flags of plan.
type planOptions struct {
	take                      []string
	write, printTo, rehearsal string
	toRecord                  bool
}

func (a *app) planCommand() *cobra.Command {
	var o planOptions
	cmd := &cobra.Command{
		Use: "plan DIR", Short: "Before the day: what is typed in, and all that follows from it",
		Long: `Tells what follows from the plan: frames and shapes, focus, light with the cheapest
fix, power, sun, cards, the order of the day, which lines no setup serves. What does not
work is told first; what is not typed yet is named, with what to type.

The plan is one JSON document. --take takes in a file that is a plan or a part of one:
its fields replace those of the plan, null takes a field away, lists are replaced whole.
A folder that holds no film yet becomes one without a record; "takeweave new" gives it
its record later. Every change can be undone.

` + exitCodes,
		Example: `  takeweave plan slow-ferry --take room.json --take setups.json
  takeweave plan slow-ferry --write plan.json
  takeweave plan slow-ferry --print pages
  takeweave plan slow-ferry --rehearsal slow-ferry-demo`,
		Args: exactly(1, "the folder of the film: takeweave plan DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx := cmd.Context()
			if err := o.begin(ctx, args[0]); err != nil {
				return err
			}
			return a.withFilm(ctx, args[0], func(w *job.Work) error { return a.plan(ctx, w, o) })
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.take, "take", nil, "take in a plan or a part of one, a JSON file; - reads the input")
	f.StringVar(&o.write, "write", "", "write the plan as it is to a file, to be edited")
	f.StringVar(&o.printTo, "print", "", "write the pages to print into a folder, one A4 page each")
	f.BoolVar(&o.toRecord, "to-record", false, "carry a plan whose lines were typed over to the lines of the record, by their words")
	f.StringVar(&o.rehearsal, "rehearsal", "", "take over the plan of another film, made on a rehearsal of the song, by line-up")
	return cmd
}

// begin makes the film when a plan is taken in and there is none.
func (o planOptions) begin(ctx context.Context, dir string) error {
	if len(o.take) == 0 {
		return nil
	}
	s, err := store.Open(ctx, dir)
	if film.CodeOf(err) == film.CodeNotAFilm {
		s, err = job.CreatePlanned(ctx, dir)
	}
	if err != nil {
		return err
	}
	return s.Close()
}

func (a *app) plan(ctx context.Context, w *job.Work, o planOptions) error {
	var carried []string
	if o.rehearsal != "" {
		err := a.withFilm(ctx, o.rehearsal, func(other *job.Work) (err error) {
			carried, err = w.CarryPlan(ctx, other)
			return err
		})
		if err != nil {
			return err
		}
	}
	if err := o.takeIn(ctx, w); err != nil {
		return err
	}
	if o.toRecord {
		var err error
		if carried, err = w.PlanToRecord(ctx); err != nil {
			return err
		}
	}
	p, err := w.Plan(ctx)
	if err != nil {
		return err
	}
	told, err := w.TellPlan(ctx)
	if err != nil {
		return err
	}
	files, err := o.writeOut(p, told)
	if err != nil {
		return err
	}
	if a.json {
		return a.show(told, nil)
	}
	for _, line := range carried {
		fmt.Fprintln(a.out, line)
	}
	if o.write == "" && o.printTo == "" {
		sayPlan(a.out, told)
	}
	for _, f := range files {
		fmt.Fprintln(a.out, "written:", f)
	}
	return nil
}

// takeIn merges the files that are given into the plan, all as one decision.
func (o planOptions) takeIn(ctx context.Context, w *job.Work) error {
	before, err := w.Plan(ctx)
	if err != nil {
		return err
	}
	p := before
	var names []string
	for _, name := range o.take {
		text, err := readInput(name)
		if err != nil {
			return err
		}
		if p, err = plan.Merge(p, text); err != nil {
			var e *film.Error
			if errors.As(err, &e) {
				e.Path = name
			}
			return err
		}
		names = append(names, filepath.Base(name))
	}
	if reflect.DeepEqual(p, before) {
		return nil
	}
	return w.SetPlan(ctx, p, "the plan, from "+strings.Join(names, ", "))
}

func readInput(name string) ([]byte, error) {
	if name == "-" {
		return io.ReadAll(os.Stdin)
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, &film.Error{Code: film.CodeNotFound, Path: name, Msg: "cannot be read", Hint: "give a JSON file with a plan or a part of one", Err: err}
	}
	return text, nil
}

// writeOut writes the plan and the pages where they are wanted.
func (o planOptions) writeOut(p plan.Plan, told plan.Told) (files []string, err error) {
	write := func(name string, body []byte) error {
		if err := os.WriteFile(name, body, 0o666); err != nil {
			return &film.Error{Code: film.CodeFailed, Path: name, Msg: "cannot be written", Hint: "name a place that you may write to", Err: err}
		}
		files = append(files, name)
		return nil
	}
	if o.write != "" {
		body, err := json.MarshalIndent(p, "", " ")
		if err != nil {
			return nil, err
		}
		if err := write(o.write, append(body, '\n')); err != nil {
			return nil, err
		}
	}
	if o.printTo == "" {
		return files, nil
	}
	pages, err := plan.Pages(p, told)
	if err != nil {
		return files, err
	}
	if err := os.MkdirAll(o.printTo, 0o777); err != nil {
		return files, &film.Error{Code: film.CodeFailed, Path: o.printTo, Msg: "cannot be made", Hint: "name a folder that you may write to", Err: err}
	}
	for _, page := range pages {
		if err := write(filepath.Join(o.printTo, page.Name+".html"), page.HTML); err != nil {
			return files, err
		}
	}
	return files, nil
}

// mostTold is how many findings of one kind are told in words: a page has an end.
const mostTold = 9

// sayPlan tells what follows from a plan on a page at most, what does not work
// first.
func sayPlan(out io.Writer, t plan.Told) {
	sayFindings(out, t, plan.Fails, "Does not work")
	sayFindings(out, t, plan.Look, "To look at")
	for _, s := range t.Setups {
		if s.Picture.Answer == plan.Works {
			fmt.Fprintf(out, "%s: %s; %s\n", s.Name, s.Picture.Say, sayShort(s.Light.Verdict))
		}
	}
	for _, s := range t.Day.Steps {
		if s.Break != "" {
			fmt.Fprintf(out, "  break at %s\n", s.Break)
		}
		fmt.Fprintf(out, "  %s-%s  %s, %s (%s)\n", s.From, s.To, s.Setup, s.Passes, s.Change)
	}
	for _, v := range []struct {
		about   string
		verdict plan.Verdict
	}{
		{"song", t.Song.Verdict},
		{"coverage", t.Coverage.Verdict},
		{"day", t.Day.Verdict},
		{"sun", t.Sun.Verdict},
		{"power", t.Power.Verdict},
		{"cards", t.Cards.Verdict},
		{"batteries", t.Battery.Verdict},
		{"the job", t.Hours.Verdict},
	} {
		if v.verdict.Answer == plan.Works {
			fmt.Fprintf(out, "%s: %s\n", v.about, v.verdict.Say)
		}
	}
	if o := t.Coverage.Outlook; o != nil {
		fmt.Fprintln(out, o.Say)
	}
	sayFindings(out, t, plan.Unknown, "Not known yet")
}

func sayShort(v plan.Verdict) string {
	if v.Answer == plan.Works {
		return v.Say
	}
	return "light " + string(v.Answer)
}

func sayFindings(out io.Writer, t plan.Told, answer plan.Answer, heading string) {
	n := 0
	for _, f := range t.Findings {
		if f.Answer != answer {
			continue
		}
		if n == 0 {
			fmt.Fprintln(out, heading)
		}
		if n++; n <= mostTold {
			fmt.Fprintf(out, "  %s: %s\n", f.About, f.Say)
		}
	}
	if n > mostTold {
		fmt.Fprintf(out, "  and %d more; --json has all\n", n-mostTold)
	}
}
