package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/look"
)

// lookOptions are the flags of look.
type lookOptions struct {
	exposure, kelvin, mired, tint, saturation float64
	lutA, lutB, placing, letterbox, off, trim string
	sheet                                     string
	strengthA, strengthB, edge                float64
	none                                      bool
}

func (a *app) lookCommand() *cobra.Command {
	var o lookOptions
	cmd := &cobra.Command{
		Use: "look DIR", Short: "The colours of the film: exposure, white, tables, edges, letterbox",
		Long: `Tells the look of the film and what each of its steps does, or changes it. What is
not named stays as it is. With --trim the correction of one setup is changed
instead. docs/look.md explains the order of the steps.

` + exitCodes,
		Example: `  takeweave look slow-ferry --exposure 0.3 --mired 12
  takeweave look slow-ferry --lut warm.cube --strength 0.6 --edge 0.5
  takeweave look slow-ferry --lut-b night.cube --strength-b 0.12 --placing beside
  takeweave look slow-ferry --trim face --exposure -0.2
  takeweave look slow-ferry --off edge,lut-b
  takeweave look slow-ferry --none`,
		Args: exactly(1, "the folder of the film: takeweave look DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error { return a.look(cmd, w, o) })
		},
	}
	f := cmd.Flags()
	f.Float64Var(&o.exposure, "exposure", 0, "exposure in stops")
	f.Float64Var(&o.kelvin, "kelvin", 0, "colour temperature of the light that shall come out white")
	f.Float64Var(&o.mired, "mired", 0, "a filter in mired, above 0 warms")
	f.Float64Var(&o.tint, "tint", 0, "tint, above 0 turns to magenta")
	f.Float64Var(&o.saturation, "saturation", 0, "saturation, 1 leaves it; with --trim a gain less 1, 0 leaves it")
	f.StringVar(&o.lutA, "lut", "", "a table (.cube, .clf, .spi1d, .spi3d), copied into the film")
	f.Float64Var(&o.strengthA, "strength", 1, "how strongly it is laid on, 0 to 1")
	f.StringVar(&o.lutB, "lut-b", "", "a second table")
	f.Float64Var(&o.strengthB, "strength-b", 1, "how strongly the second is laid on, 0 to 1")
	f.StringVar(&o.placing, "placing", "", "the second table over the first, or beside it")
	f.Float64Var(&o.edge, "edge", 0, "how many stops less light the corners have, 0 to 4")
	f.StringVar(&o.letterbox, "letterbox", "", "black bars to this shape, such as 2.39:1; \"none\" takes them away")
	f.StringVar(&o.off, "off", "", "steps to switch off, their settings kept: trim, exposure, white, cdl, curve, lut-a, lut-b, edge, letterbox; \"none\" switches all on")
	f.StringVar(&o.trim, "trim", "", "change the correction of this setup instead")
	f.BoolVar(&o.none, "none", false, "no look at all")
	f.StringVar(&o.sheet, "sheet", "", "write the hardest instants before and after to this HTML file, to send")
	return cmd
}

func (a *app) look(cmd *cobra.Command, w *job.Work, o lookOptions) error {
	ctx := cmd.Context()
	var notes []string
	if changes(cmd, "sheet") {
		d, warned, err := o.decide(cmd, w)
		if err != nil {
			return err
		}
		notes = append(warned, d.Words)
	}
	if o.sheet != "" {
		if err := writeSheet(ctx, w, o.sheet); err != nil {
			return err
		}
		notes = append(notes, "The hardest instants, before and after: "+o.sheet)
	}
	told, err := w.TellLook(ctx)
	if err != nil {
		return err
	}
	return a.show(told, func(out io.Writer) {
		for _, n := range notes {
			fmt.Fprintln(out, n)
		}
		fmt.Fprintln(out, "The look: "+told.Words)
		for _, e := range told.Effects {
			dead := ""
			if e.Dead {
				dead = "  (hardly seen: it could be left out)"
			}
			fmt.Fprintf(out, "  %s  changes colours by %.1f on average, %.1f at most (CIEDE2000)%s\n", e.Step, e.Mean, e.Max, dead)
		}
		for _, shot := range told.NoRoom {
			fmt.Fprintln(out, "  the letterbox has no room for "+shot)
		}
		fmt.Fprintf(out, "As one table it is %.2f off on average, %.2f at most.\n", told.Baked.Mean, told.Baked.Max)
	})
}

// writeSheet writes the instants before and after to a file of the person's.
func writeSheet(ctx context.Context, w *job.Work, path string) error {
	var page bytes.Buffer
	if err := w.LookSheet(ctx, job.WholeFilm, &page); err != nil {
		return err
	}
	if err := os.WriteFile(path, page.Bytes(), 0o666); err != nil {
		return &film.Error{Code: film.CodeUsage, Path: path, Msg: "cannot be written", Hint: "choose another file", Err: err}
	}
	return nil
}

// decide makes the change that the flags ask for.
func (o lookOptions) decide(cmd *cobra.Command, w *job.Work) (job.Decided, []string, error) {
	ctx, given := cmd.Context(), cmd.Flags().Changed
	l, trims, err := w.Look(ctx)
	if err != nil {
		return job.Decided{}, nil, err
	}
	if o.trim != "" {
		t := trims[o.trim]
		set := func(name string, to *float64, v float64) {
			if given(name) {
				*to = v
			}
		}
		set("exposure", &t.ExposureStops, o.exposure)
		set("mired", &t.TemperatureMired, o.mired)
		set("tint", &t.Tint, o.tint)
		set("saturation", &t.Saturation, o.saturation)
		if o.none {
			t = look.Trim{}
		}
		d, err := w.SetTrim(ctx, o.trim, t)
		return d, nil, err
	}
	var warnings []string
	if o.none {
		l = look.Look{}
	}
	set := func(name string, to *float64, v float64) {
		if given(name) {
			*to = v
		}
	}
	set("exposure", &l.ExposureStops, o.exposure)
	set("kelvin", &l.White.Kelvin, o.kelvin)
	set("mired", &l.White.ShiftMired, o.mired)
	set("tint", &l.White.Tint, o.tint)
	set("edge", &l.Edge.Stops, o.edge)
	if given("saturation") {
		c := film.NeutralCDL()
		if l.CDL != nil {
			c = *l.CDL
		}
		c.Saturation = o.saturation
		l.CDL = &c
	}
	for _, t := range []struct {
		flag, file, strengthFlag string
		layer                    *look.Layer
		strength                 float64
	}{{"lut", o.lutA, "strength", &l.A, o.strengthA}, {"lut-b", o.lutB, "strength-b", &l.B, o.strengthB}} {
		if given(t.flag) {
			name, warned, err := w.AddLUT(t.file, l.Encoding)
			if err != nil {
				return job.Decided{}, nil, err
			}
			warnings = append(warnings, warned...)
			t.layer.File, t.layer.Strength = name, t.strength
		}
		if given(t.strengthFlag) {
			t.layer.Strength = t.strength
		}
	}
	if given("placing") {
		l.Placing = look.Placing(o.placing)
	}
	if given("letterbox") {
		l.Letterbox = film.Shape(strings.TrimPrefix(o.letterbox, "none"))
	}
	if given("off") {
		l.Off = nil
		for _, s := range strings.Split(strings.TrimPrefix(o.off, "none"), ",") {
			if s = strings.TrimSpace(s); s != "" {
				l.Off = append(l.Off, look.Step(s))
			}
		}
	}
	d, err := w.SetLook(ctx, l)
	return d, warnings, err
}
