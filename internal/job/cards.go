package job

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"takeweave/internal/card"
	"takeweave/internal/film"
	"takeweave/internal/media"
)

// stepCopy is the receipt of a copied card, by its number.
const stepCopy = "copy"

// CardCopy says which card is copied and where to.
type CardCopy struct {
	Card string // its folder
	Name string // of its copy in each place; "" for the card's own
	// Others are the folders that get a copy beside the film's own.
	Others       []string
	CannotRepeat bool // what is on it cannot be filmed again
	Repair       bool // put whole files in the place of damaged copies
	Twice        bool // read the card itself again too
}

// Copied is the receipt of a card and where its page lies.
type Copied struct {
	card.Receipt
	Page string `json:"page"`
}

// CopyCard copies a card into the film's folder of clips and to other places,
// proves the copies and keeps the receipt. Clips are played at their beginning,
// middle and end.
func (w *Work) CopyCard(ctx context.Context, c CardCopy, version string) (Copied, error) {
	name := c.Name
	if name == "" {
		name = filepath.Base(c.Card)
	}
	earlier, err := w.Receipts(ctx)
	if err != nil {
		return Copied{}, err
	}
	host, _ := os.Hostname()
	plan := card.Plan{
		From: c.Card, CannotRepeat: c.CannotRepeat, Repair: c.Repair, ReadCardTwice: c.Twice, IsClip: isClip, Play: w.playParts,
		Host: host, Version: version, Now: w.Store.Now,
	}
	for _, folder := range append([]string{filepath.Join(w.Store.Dir, "clips")}, c.Others...) {
		plan.To = append(plan.To, filepath.Join(folder, name))
	}
	for _, r := range earlier {
		plan.Earlier = append(plan.Earlier, r.Receipt)
	}
	if plan.Logged, err = w.loggedOn(ctx, c.Card); err != nil {
		return Copied{}, err
	}
	told, end := w.Progress.bytesRead("copy")
	r, err := card.Copy(ctx, plan, told)
	end()
	out := Copied{Receipt: r, Page: filepath.Join(w.Store.Dir, "out", "receipts", fmt.Sprintf("%s-%d.html", name, len(earlier)+1))}
	if err != nil {
		return out, err
	}
	if err := w.writeReceipt(out); err != nil {
		return out, err
	}
	if err := w.Store.PutResult(ctx, stepCopy, fmt.Sprint(len(earlier)+1), r.Listing, out); err != nil {
		return out, err
	}
	known, err := w.Store.Setting(ctx, settingClips)
	if err != nil || known != "" {
		return out, err
	}
	return out, w.SetClips(ctx, filepath.Join(w.Store.Dir, "clips"))
}

// Receipts returns the receipts of all cards that were copied, in order.
func (w *Work) Receipts(ctx context.Context) ([]Copied, error) {
	return numbered[Copied](ctx, w, stepCopy)
}

func (w *Work) writeReceipt(c Copied) error {
	if err := os.MkdirAll(filepath.Dir(c.Page), 0o777); err != nil {
		return err
	}
	var page bytes.Buffer
	if err := card.WritePage(&page, c.Receipt); err != nil {
		return err
	}
	return writeWhole(c.Page, func(to io.Writer) error {
		_, err := page.WriteTo(to)
		return err
	})
}

// isClip reports whether a file is a clip by its name.
func isClip(path string) bool { return pictureFiles[strings.ToLower(filepath.Ext(path))] }

// playedFrames is how much of a clip is played at a time, about a second.
const playedFrames = 25

// playParts decodes the first, the middle and the last second of a clip.
func (w *Work) playParts(ctx context.Context, path string) error {
	info, err := w.Engine.Probe(ctx, path)
	if err != nil || info.Picture == nil {
		return err
	}
	start, length := info.Picture.Start, info.Picture.End-info.Picture.Start
	for _, at := range []float64{start, start + length/2 - 0.5, start + length - 1} {
		shown := 0
		err := w.Engine.Frames(ctx, path, media.FramesOptions{From: film.PassTime(max(at, start)), Count: playedFrames, Width: 64, Height: 36, Format: media.Gray}, func(int, []byte) error {
			shown++
			return nil
		})
		if err != nil {
			return err
		}
		if shown == 0 {
			return &film.Error{Code: film.CodeUnreadable, Path: path, Msg: fmt.Sprintf("shows nothing at %.1f s", at), Hint: "play it in the camera"}
		}
	}
	return nil
}

// VerifyCopy compares a copied folder with its hash lists, years later too.
func VerifyCopy(ctx context.Context, dir string, p *Progress) (card.Checked, error) {
	told, end := p.bytesRead("verify")
	defer end()
	return card.Verify(ctx, dir, told)
}

// bytesRead is a stage whose length is only known when it has begun.
func (p *Progress) bytesRead(name string) (told card.Progress, end func()) {
	var stage *Stage
	var before int64
	const mega = 1e6
	told = func(done, total int64, file string) {
		if stage == nil {
			stage = p.Stage(name, float64(total)/mega, "MB read")
		}
		stage.Note(file)
		stage.Add(float64(done-before) / mega)
		before = done
	}
	return told, func() {
		if stage != nil {
			stage.End()
		}
	}
}
