package job

import (
	"cmp"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
	"takeweave/internal/plan"
	"takeweave/internal/store"
)

// pictureFiles are the endings of files that may hold a pass.
var pictureFiles = map[string]bool{
	".mp4": true, ".mov": true, ".m4v": true, ".mkv": true, ".webm": true, ".mts": true, ".m2ts": true, ".ts": true,
	".avi": true, ".mxf": true, ".mpg": true, ".mpeg": true, ".3gp": true, ".wmv": true, ".ogv": true, ".ogg": true, ".dv": true,
}

// soundFiles are the endings of files that may hold the sound of a separate
// recorder.
var soundFiles = map[string]bool{
	".wav": true, ".bwf": true, ".w64": true, ".aif": true, ".aiff": true, ".caf": true, ".flac": true,
	".m4a": true, ".mp3": true, ".opus": true, ".wma": true, ".mka": true,
}

// SetClips tells the film where its clips lie.
func (w *Work) SetClips(ctx context.Context, folder string) error {
	abs, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	if st, err := os.Stat(abs); err != nil || !st.IsDir() {
		return &film.Error{Code: film.CodeNotFound, Path: folder, Msg: "is not a folder that can be read", Hint: "give the folder that holds the camera files: --clips FOLDER", Err: err}
	}
	w.linedUp, w.judged = nil, nil
	return w.Store.Set(ctx, settingClips, abs)
}

// TakeIn looks through the folder of clips: finds camera files, fingerprints
// and probes those that are new or changed, and ties each to its setup. Files
// are only read. A file that cannot be used stays in the list with its reason.
func (w *Work) TakeIn(ctx context.Context) ([]film.Clip, error) {
	if peeks(ctx) {
		return w.Store.Clips(ctx)
	}
	root, err := w.Store.Setting(ctx, settingClips)
	if err != nil {
		return nil, err
	}
	if root == "" {
		return nil, &film.Error{Code: film.CodeNoClips, Path: w.Store.Dir, Msg: "knows of no clips yet", Hint: "say where they lie: takeweave run " + w.Store.Dir + " --clips FOLDER"}
	}
	files, err := findClips(root, w.Store.Dir)
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(files, found.mayHavePicture) {
		return nil, &film.Error{Code: film.CodeNoClips, Path: root, Msg: "holds no camera files", Hint: "takeweave looks for MP4, MOV, MKV, MTS, AVI, MXF and the like, in subfolders too; check the folder or mount the card"}
	}
	table, err := readSetups(filepath.Join(root, SetupsFile))
	if err != nil {
		return nil, err
	}
	known, err := w.Store.AllClips(ctx)
	if err != nil {
		return nil, err
	}
	byPath := map[string]store.SeenClip{}
	for _, c := range known {
		byPath[c.Path] = c
	}

	var total float64
	for _, f := range files {
		total += float64(f.size)
	}
	stage := w.Progress.Stage("take in", total/1e6, "MB")
	defer stage.End()
	seen := make([]store.SeenClip, len(files))
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(sideBySide())
	for i, f := range files {
		g.Go(func() error {
			old, ok := byPath[f.path]
			if ok && old.Bytes == f.size && old.ModifiedNS == f.modifiedNS && old.Refusal == "" {
				seen[i] = old
				seen[i].File = f.name
				stage.Add(float64(f.size) / 1e6)
			} else {
				stage.Note(f.name)
				c, err := w.takeInOne(gctx, f, func(n float64) { stage.Add(n / 1e6) })
				if err != nil {
					return err
				}
				seen[i] = store.SeenClip{Clip: c, ModifiedNS: f.modifiedNS, Present: true}
			}
			seen[i].Setup = setupOf(f.name, table)
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	_, recordDigest, err := w.record(ctx)
	if err != nil {
		return nil, err
	}
	// The record may lie among the clips; it is no pass.
	seen = slices.DeleteFunc(seen, func(c store.SeenClip) bool { return c.SoundOnly && c.Digest == recordDigest })
	if err := w.keepSetups(ctx, seen, table); err != nil {
		return nil, err
	}
	if err := w.Store.PutClips(ctx, seen); err != nil {
		return nil, err
	}
	return w.Store.Clips(ctx)
}

// found is a camera file on disk.
type found struct {
	path, name string // absolute; relative to the clips folder, slashes
	size       int64
	modifiedNS int64
}

func (f found) mayHavePicture() bool { return pictureFiles[strings.ToLower(filepath.Ext(f.name))] }

// findClips lists camera and recorder files below root, by name. The film folder itself and
// hidden files are passed over.
func findClips(root, filmDir string) ([]found, error) {
	var files []found
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			if p == root {
				return &film.Error{Code: film.CodeNotFound, Path: root, Msg: "cannot be read", Hint: "check that the card or disk is still connected", Err: err}
			}
			return nil // a folder that cannot be entered does not stop the rest
		}
		hidden := strings.HasPrefix(d.Name(), ".") && p != root
		if d.IsDir() {
			if hidden || p == filmDir && p != root {
				return filepath.SkipDir
			}
			if p == filepath.Join(filmDir, "out") || p == filepath.Join(filmDir, "cache") {
				return filepath.SkipDir
			}
			return nil
		}
		if ending := strings.ToLower(filepath.Ext(p)); hidden || !pictureFiles[ending] && !soundFiles[ending] {
			return nil
		}
		st, err := os.Stat(p) // follows links
		if err != nil || !st.Mode().IsRegular() {
			return nil
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		files = append(files, found{p, filepath.ToSlash(rel), st.Size(), st.ModTime().UnixNano()})
		return nil
	})
	sort.Slice(files, func(i, j int) bool { return files[i].name < files[j].name })
	return files, err
}

// takeInOne fingerprints and probes one file. Only a cancelled work or a lost
// disk is an error: a file that cannot be used is a clip with a refusal.
func (w *Work) takeInOne(ctx context.Context, f found, read func(bytes float64)) (film.Clip, error) {
	c := film.Clip{Path: f.path, File: f.name, Bytes: f.size}
	sum, err := fingerprint.File(ctx, f.path, read)
	if err != nil {
		if ctx.Err() != nil {
			return c, ctx.Err()
		}
		c.Refusal = err.Error()
		return c, nil
	}
	c.Digest = sum
	info, err := w.info(ctx, f.path)
	if ctx.Err() != nil {
		return c, ctx.Err()
	}
	if err != nil {
		c.Refusal = plainRefusal(err)
		return c, nil
	}
	c.Duration = info.Duration
	c.HasSound = info.Sound != nil
	if info.Picture == nil {
		c.SoundOnly = true
		c.PictureEnd = film.PassTime(c.Duration) // of which nothing is seen; it bounds the sound
		return c, nil
	}
	p := info.Picture
	c.Width, c.Height, c.Rate, c.Variable = p.Width, p.Height, p.Rate, p.Variable
	c.PictureStart, c.PictureEnd = film.PassTime(p.Start), film.PassTime(p.End)
	c.Notes = oddities(p)
	return c, nil
}

// plainRefusal is what to tell of a file that cannot be probed.
func plainRefusal(err error) string {
	if e, ok := err.(*film.Error); ok {
		return e.Msg
	}
	return err.Error()
}

// oddities lists what will be changed about a picture on its way into a film.
func oddities(p *media.Picture) []string {
	var notes []string
	if p.Rotation != 0 {
		notes = append(notes, fmt.Sprintf("turned upright by %d degrees", p.Rotation))
	}
	if p.Variable {
		notes = append(notes, "frame times vary; each frame is shown at its own time")
	}
	if p.Interlaced {
		notes = append(notes, "interlaced; made progressive")
	}
	if p.HDR {
		notes = append(notes, "filmed in high dynamic range ("+p.Transfer+"); brought to BT.709 for this film")
	}
	return notes
}

// setupOf names the setup of a clip: by the table's file patterns, else by its
// folder, else "".
func setupOf(file string, table []setupRow) string {
	for _, row := range table {
		for _, pattern := range row.files {
			whole, _ := path.Match(pattern, file)
			base, _ := path.Match(pattern, path.Base(file))
			if whole || base {
				return row.Name
			}
		}
	}
	return setupFromFolder(file)
}

// keepSetups stores the setups that the clips use: as the table says, else as
// known before, else by a guess from the name.
func (w *Work) keepSetups(ctx context.Context, clips []store.SeenClip, table []setupRow) error {
	known, err := w.Store.Setups(ctx)
	if err != nil {
		return err
	}
	planned, err := w.Plan(ctx)
	if err != nil {
		return err
	}
	var put []film.Setup
	inTable := map[string]bool{}
	for _, row := range table {
		put = append(put, row.Setup)
		inTable[row.Name] = true
	}
	for _, c := range clips {
		if _, ok := known[c.Setup]; c.Setup == "" || ok || inTable[c.Setup] {
			continue
		}
		inTable[c.Setup] = true
		put = append(put, asPlanned(planned.Setups, c.Setup))
	}
	return w.Store.PutSetups(ctx, put)
}

// asPlanned returns the setup of a name as it was planned; what the plan leaves
// open is guessed from the name.
func asPlanned(planned []plan.Setup, name string) film.Setup {
	u := guessSetup(name)
	i := slices.IndexFunc(planned, func(p plan.Setup) bool { return strings.EqualFold(p.Name, name) })
	if i < 0 {
		return u
	}
	p := planned[i].Setup
	p.Name, p.Shows, p.Size = name, cmp.Or(p.Shows, u.Shows), cmp.Or(p.Size, u.Size)
	return p
}
