package job

import (
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"takeweave/internal/crop"
	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/interchange"
	"takeweave/internal/look"
	"takeweave/internal/media"
	"takeweave/internal/store"
)

const (
	kindLook = "look" // of the film
	kindTrim = "trim" // by the name of the setup
)

// looksFolder holds the person's LUT files inside the film folder.
const looksFolder = "looks"

// Look returns the film's look and the trims of its setups.
func (w *Work) Look(ctx context.Context) (look.Look, map[string]look.Trim, error) {
	docs, err := documents[look.Look](ctx, w, kindLook)
	if err != nil {
		return look.Look{}, nil, err
	}
	trims, err := documents[look.Trim](ctx, w, kindTrim)
	return docs[onlyOne], trims, err
}

// SetLook changes the film's look. One that cannot be worked out, because a
// setting is out of reach or a LUT cannot be read, is refused.
func (w *Work) SetLook(ctx context.Context, l look.Look) (Decided, error) {
	if _, err := w.chain(l, look.Trim{}); err != nil {
		return Decided{}, err
	}
	if l.Letterbox != "" {
		if _, err := crop.Ratio(l.Letterbox); err != nil {
			return Decided{}, err
		}
	}
	change, err := store.Put(kindLook, onlyOne, l)
	if err != nil {
		return Decided{}, err
	}
	return w.decide(ctx, "the look: "+sayLook(l), change)
}

// SetTrim changes the correction of one setup.
func (w *Work) SetTrim(ctx context.Context, setup string, t look.Trim) (Decided, error) {
	setups, err := w.Setups(ctx)
	if err != nil {
		return Decided{}, err
	}
	known := false
	for _, u := range setups {
		known = known || u.Name == setup
	}
	if !known {
		return Decided{}, &film.Error{Code: film.CodeNotFound, Path: setup, Msg: "is not a setup of this film", Hint: "its clips lie in a folder of that name, or setups.csv names it"}
	}
	l, _, err := w.Look(ctx)
	if err != nil {
		return Decided{}, err
	}
	if _, err := w.chain(l, t); err != nil {
		return Decided{}, err
	}
	change, err := store.Put(kindTrim, setup, t)
	if err != nil {
		return Decided{}, err
	}
	return w.decide(ctx, "trim of "+setup+": "+SayTrim(t), change)
}

// lookInWords says the look and the trims.
func (w *Work) lookInWords(ctx context.Context) (string, error) {
	l, trims, err := w.Look(ctx)
	words := sayLook(l)
	for _, name := range slices.Sorted(maps.Keys(trims)) {
		words += "; trim of " + name + ": " + SayTrim(trims[name])
	}
	return words, err
}

// sayLook says the steps that are set, in words.
func sayLook(l look.Look) string {
	var parts []string
	say := func(on bool, format string, a ...any) {
		if on {
			parts = append(parts, fmt.Sprintf(format, a...))
		}
	}
	say(l.ExposureStops != 0, "%+.2f stops", l.ExposureStops)
	say(l.White.Kelvin != 0, "%.0f K", l.White.Kelvin)
	say(l.White.ShiftMired != 0, "%+.0f mired", l.White.ShiftMired)
	say(l.White.Tint != 0, "tint %+.0f", l.White.Tint)
	say(l.CDL != nil, "colour decision")
	say(len(l.Curve) > 0, "curve of %d points", len(l.Curve))
	say(l.A.File != "", "table %s at %.0f %%", l.A.File, 100*l.A.Strength)
	say(l.B.File != "", "table %s at %.0f %% %s", l.B.File, 100*l.B.Strength, orOver(l.Placing))
	say(l.Edge.Stops != 0, "edges darker by %.1f stops", l.Edge.Stops)
	say(l.Letterbox != "", "letterbox %s", l.Letterbox)
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, ", ")
}

func orOver(p look.Placing) string {
	if p == "" {
		return string(look.Over)
	}
	return string(p)
}

// AddLUT copies a LUT file into the film's folder of looks, after reading it, and
// returns its name there with warnings when it seems to be made for another
// input.
func (w *Work) AddLUT(path string, e look.Encoding) (name string, warnings []string, err error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return "", nil, &film.Error{Code: film.CodeNotFound, Path: path, Msg: "cannot be read", Hint: "check the path", Err: err}
	}
	name = filepath.Base(path)
	warnings, err = w.TakeLUT(name, text, e)
	return name, warnings, err
}

// chain makes a look ready.
func (w *Work) chain(l look.Look, t look.Trim) (*look.Chain, error) {
	a, err := w.lut(l.A)
	if err != nil {
		return nil, err
	}
	b, err := w.lut(l.B)
	if err != nil {
		return nil, err
	}
	return look.NewChain(l, t, a, b)
}

// lookKey names a look by all that it depends on.
func (w *Work) lookKey(l look.Look, t look.Trim) string {
	var files []string
	for _, layer := range []look.Layer{l.A, l.B} {
		text, _ := os.ReadFile(filepath.Join(w.Store.Dir, looksFolder, filepath.Base(layer.File)))
		files = append(files, fingerprint.Of(string(text)))
	}
	return fingerprint.Of("look", lookVersion, l, t, files)
}

// bakedTable returns a .cube file of a look with a setup's trim, and how far it
// is from the look itself; "" when nothing is set.
func (w *Work) bakedTable(l look.Look, t look.Trim) (string, error) {
	plain := l
	plain.Edge, plain.Letterbox, plain.Off = look.Edge{}, "", nil
	if sayLook(plain) == "none" && t == (look.Trim{}) {
		return "", nil
	}
	return w.kept("looks", w.lookKey(l, t)+".cube", func(out io.Writer) error {
		c, err := w.chain(l, t)
		if err != nil {
			return err
		}
		text, err := interchange.WriteCube(c.BakeWell().LUT("takeweave"))
		if err != nil {
			return err
		}
		_, err = out.Write(text)
		return err
	})
}

// grades returns the grade of each setup for a film of a size.
func (w *Work) grades(ctx context.Context, passes []Pass, f Format) (map[string]media.Grade, error) {
	l, trims, err := w.Look(ctx)
	if err != nil {
		return nil, err
	}
	all := map[string]media.Grade{}
	for i := range passes {
		name := passes[i].Clip.Setup
		if _, done := all[name]; done || !passes[i].Filmed() {
			continue
		}
		table, err := w.bakedTable(l, trims[passes[i].Setup.Name])
		if err != nil {
			return nil, err
		}
		g := media.Grade{Table: table}
		if l.On(look.StepEdge) {
			g.EdgeAngle, g.EdgeX, g.EdgeY = l.Edge.Angle(), l.Edge.X, l.Edge.Y
		}
		if l.Letterbox != "" && l.On(look.StepLetterbox) {
			ratio, err := crop.Ratio(l.Letterbox)
			if err != nil {
				return nil, err
			}
			bars := look.Letterbox(f.Width, f.Height, ratio)
			g.BarsTop, g.BarsLeft = bars.Top, bars.Left
		}
		all[name], all[passes[i].Setup.Name] = g, g
	}
	return all, nil
}

// LookTold is the look with what each of its steps does.
type LookTold struct {
	Look    look.Look            `json:"look"`
	Words   string               `json:"words"`
	Trims   map[string]look.Trim `json:"trims,omitempty"`
	Effects []look.Effect        `json:"effects"` // over stills of the film
	Baked   look.Difference      `json:"baked_error"`
	// NoRoom names the shots whose face the letterbox cuts.
	NoRoom []string `json:"letterbox_no_room,omitempty"`
}

// TellLook tells what each step of the look does to the pictures of the film, in
// CIEDE2000 over a still of the middle of every shot.
func (w *Work) TellLook(ctx context.Context) (LookTold, error) {
	l, trims, err := w.Look(ctx)
	if err != nil {
		return LookTold{}, err
	}
	told := LookTold{Look: l, Words: sayLook(l), Trims: trims, Effects: []look.Effect{}}
	c, err := w.chain(l, look.Trim{})
	if err != nil {
		return told, err
	}
	sample, err := w.sampleColours(ctx)
	if err != nil {
		return told, err
	}
	told.Effects = c.Effects(sample)
	told.Baked = c.BakeWell().Error
	told.NoRoom, err = w.noRoom(ctx, l)
	return told, err
}

// mostHidden is the share of a face that a letterbox may cover; a cut chin or
// crown of hair is no fault. A limit of our own.
const mostHidden = 0.1

// noRoom names the shots of the whole film whose face the letterbox of a look
// cuts; none when faces were not looked for.
func (w *Work) noRoom(ctx context.Context, l look.Look) ([]string, error) {
	if l.Letterbox == "" || !l.On(look.StepLetterbox) {
		return nil, nil
	}
	ratio, err := crop.Ratio(l.Letterbox)
	if err != nil {
		return nil, err
	}
	c, song, passes, err := w.shown(ctx, WholeFilm, cut.Options{})
	if err != nil {
		return nil, err
	}
	whole := Order{ID: WholeFilm}
	f, err := w.FormatOf(ctx, whole, passes)
	if err != nil {
		return nil, err
	}
	faces, err := w.facesOf(ctx, whole, &c, passes)
	if err != nil {
		return nil, err
	}
	bars := look.Letterbox(f.Width, f.Height, ratio)
	var out []string
	for i, s := range c.Shots {
		var hidden float64
		for _, seen := range faces {
			if seen.First >= s.First && seen.End <= s.End {
				hidden = max(hidden, bars.Hides(look.Box(seen.Box)))
			}
		}
		if hidden > mostHidden {
			out = append(out, fmt.Sprintf("shot %d at %s: %.0f %% of the face", i+1, song.Address(c.At(s.First)), 100*hidden))
		}
	}
	return out, nil
}

// sampleColours returns colours of the film: some pixels of one frame a pass.
func (w *Work) sampleColours(ctx context.Context) ([]look.RGB, error) {
	passes, err := w.LineUp(ctx)
	if err != nil {
		return nil, err
	}
	return w.sampled(passes, func() ([]look.RGB, error) { return w.decodeSample(ctx, passes) })
}

func (w *Work) decodeSample(ctx context.Context, passes []Pass) ([]look.RGB, error) {
	const width, height = 64, 36
	var sample []look.RGB
	for i := range passes {
		p := &passes[i]
		if !p.Filmed() {
			continue
		}
		k := p.LineUp.Segments[0].Knots
		at := (k[0].Pass + k[len(k)-1].Pass) / 2
		f := p.Files[p.fileAt(at)]
		err := w.Engine.Frames(ctx, f.Clip.Path, media.FramesOptions{From: at - f.At, Count: 1, Width: width, Height: height, Format: media.RGB24}, func(_ int, pix []byte) error {
			for k := 0; k+2 < len(pix); k += 3 {
				sample = append(sample, look.RGB{float64(pix[k]) / 255, float64(pix[k+1]) / 255, float64(pix[k+2]) / 255})
			}
			return nil
		})
		if err != nil && film.CodeOf(err) != film.CodeUnreadable {
			return nil, err
		}
	}
	return sample, nil
}
