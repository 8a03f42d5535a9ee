package interchange

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// row is one shot of the table with what its cells need.
type row struct {
	number int // from 1
	shot   *film.Shot
	clip   *film.Clip // nil for a hole
	out    *Outgoing
	slipMS string
}

// columns are the columns of the table, in order.
var columns = []struct {
	name string
	cell func(r row) string
}{
	{"shot", func(r row) string { return strconv.Itoa(r.number) }},
	{"film_in", func(r row) string { return r.filmCode(r.shot.First) }},
	{"film_out", func(r row) string { return r.filmCode(r.shot.End) }},
	{"first_frame", func(r row) string { return strconv.FormatInt(int64(r.shot.First), 10) }},
	{"end_frame", func(r row) string { return strconv.FormatInt(int64(r.shot.End), 10) }},
	{"song", func(r row) string { return r.out.Song.Address(r.out.Cut.At(r.shot.First)) }},
	{"file", func(r row) string { return r.shot.File }},
	{"pass", func(r row) string { return r.shot.Pass }},
	{"setup", func(r row) string { return r.shot.Setup }},
	{"source_in_s", func(r row) string { return r.ofClip(decimal(float64(r.shot.SourceStart))) }},
	{"source_out_s", func(r row) string { return r.ofClip(decimal(r.sourceEnd())) }},
	{"source_in", func(r row) string { return r.clipCode(float64(r.shot.SourceStart)) }},
	{"source_out", func(r row) string { return r.clipCode(r.sourceEnd()) }},
	{"speed", func(r row) string { return r.ofClip(decimal(r.shot.Speed)) }},
	{"slip_ms", func(r row) string { return r.slipMS }},
	{"agreement", func(r row) string { return r.ofClip(decimal(r.shot.Agreement)) }},
	{"why", func(r row) string { return r.shot.Why }},
}

// filmCode returns a film frame as time code, "" where there is none.
func (r row) filmCode(f film.Frames) string {
	code, _ := Timecode(r.out.Start+f, r.out.Cut.Rate)
	return code
}

// clipCode returns a time of the clip as time code of the clip's nearest frame,
// counted from the clip's start; "" where there is none.
func (r row) clipCode(seconds float64) string {
	if r.clip == nil || !r.clip.Rate.Known() {
		return ""
	}
	code, _ := Timecode(r.clip.Rate.NearestFrame(film.SongTime(seconds)), r.clip.Rate)
	return code
}

func (r row) sourceEnd() float64 {
	length := float64(r.out.Cut.Rate.FrameStart(r.shot.End - r.shot.First))
	return float64(r.shot.SourceStart) + length*r.shot.Speed
}

// ofClip returns the cell, or "" for a hole.
func (r row) ofClip(cell string) string {
	if r.shot.File == "" {
		return ""
	}
	return cell
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// WriteTable returns the cut as a table, one row a shot, UTF-8, comma
// separated, with a first row that names the columns (docs/interchange.md).
// slipMS has the slip of each shot against its line-up in milliseconds; nil
// leaves that column empty.
//
// Source: [RFC4180].
func WriteTable(out Outgoing, slipMS []float64) ([]byte, error) {
	clips := map[int64]*film.Clip{}
	for i := range out.Clips {
		clips[out.Clips[i].ID] = &out.Clips[i]
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	cells := make([]string, len(columns))
	for k, c := range columns {
		cells[k] = c.name
	}
	err := w.Write(cells)
	for i := range out.Cut.Shots {
		r := row{number: i + 1, shot: &out.Cut.Shots[i], out: &out}
		if r.shot.File != "" {
			r.clip = clips[r.shot.Clip]
			if i < len(slipMS) {
				r.slipMS = strconv.FormatFloat(slipMS[i], 'f', 1, 64)
			}
		}
		for k, c := range columns {
			cells[k] = c.cell(r)
		}
		err = errors.Join(err, w.Write(cells))
	}
	w.Flush()
	if err = errors.Join(err, w.Error()); err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "the cut cannot be written as a table", Hint: "make the cut again", Err: err}
	}
	return b.Bytes(), nil
}

// ReadTable reads a table as [WriteTable] writes it, perhaps changed by hand,
// with its columns in any order. Of the columns it needs "file", "source_in_s"
// and the place in the film: "first_frame" and "end_frame", or "film_in" and
// "film_out" as time code where start is that of film frame 0. "pass" and
// "speed" may be absent (speed 1); all others are not read. A row without a file
// shows nothing. A cell that cannot be read, and shots that overlap, give a
// *film.Error that names the row.
func ReadTable(text []byte, path string, rate film.Rate, start film.Frames) (*Incoming, error) {
	in := &Incoming{Rate: rate, Start: start}
	err := in.readRows(text)
	if err != nil {
		return nil, &film.Error{Code: film.CodeUnreadable, Path: path, Msg: "is not a table of shots", Hint: "save it as CSV with commas between cells and decimal points, with the columns that docs/interchange.md names", Err: err}
	}
	return in, nil
}

func (in *Incoming) readRows(text []byte) error {
	if len(text) > maxBytes {
		return fmt.Errorf("it is larger than %d MB", maxBytes>>20)
	}
	d := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	rows, err := d.ReadAll()
	if err != nil {
		return err
	}
	if len(rows) == 0 {
		return errors.New("it is empty")
	}
	place := map[string]int{}
	for k, name := range rows[0] {
		place[strings.TrimSpace(name)] = k
	}
	for _, needed := range []string{"file", "source_in_s"} {
		if _, ok := place[needed]; !ok {
			return fmt.Errorf("it has no column %q", needed)
		}
	}
	var shots []Shot
	for n, cells := range rows[1:] {
		s, err := in.readRow(func(column string) string {
			if k, ok := place[column]; ok {
				return cells[k]
			}
			return ""
		})
		if err != nil {
			return fmt.Errorf("row %d: %w", n+2, err)
		}
		shots = append(shots, s)
	}
	slices.SortStableFunc(shots, func(a, b Shot) int { return cmp.Compare(a.First, b.First) })
	for _, s := range shots {
		if s.First < in.Frames {
			return fmt.Errorf("two shots lie at frame %d", s.First)
		}
		if s.First > in.Frames {
			in.Shots = append(in.Shots, Shot{First: in.Frames, End: s.First, Hole: true})
		}
		in.Shots = append(in.Shots, s)
		in.Frames = s.End
	}
	return nil
}

// readRow reads one shot, of which cell gives the text of a column.
func (in *Incoming) readRow(cell func(column string) string) (Shot, error) {
	s := Shot{Name: cell("pass"), File: cell("file"), Speed: 1}
	s.Hole, s.Linked = s.File == "", s.File != ""
	var err error
	if s.First, err = in.readFrame(cell, "first_frame", "film_in"); err != nil {
		return Shot{}, err
	}
	if s.End, err = in.readFrame(cell, "end_frame", "film_out"); err != nil {
		return Shot{}, err
	}
	if s.First < 0 || s.End <= s.First {
		return Shot{}, fmt.Errorf("a shot cannot last from frame %d to %d", s.First, s.End)
	}
	if s.Hole {
		return s, nil
	}
	at, err := strconv.ParseFloat(strings.TrimSpace(cell("source_in_s")), 64)
	if err != nil || math.Abs(at) > longest || math.IsNaN(at) {
		return Shot{}, fmt.Errorf("source_in_s %q is not a time in seconds", cell("source_in_s"))
	}
	s.SourceStart = film.PassTime(at)
	if speed := strings.TrimSpace(cell("speed")); speed != "" {
		if s.Speed, err = strconv.ParseFloat(speed, 64); err != nil || !(math.Abs(s.Speed) <= fastest) {
			return Shot{}, fmt.Errorf("speed %q is not a number", speed)
		}
	}
	return s, nil
}

// readFrame reads a film frame from a column of frames or, when that is empty,
// from one of time code.
func (in *Incoming) readFrame(cell func(column string) string, frames, code string) (film.Frames, error) {
	if text := strings.TrimSpace(cell(frames)); text != "" {
		f, err := strconv.ParseInt(text, 10, 64)
		if err != nil || f > longest*1000 {
			return 0, fmt.Errorf("%s %q is not a frame", frames, text)
		}
		return film.Frames(f), nil
	}
	f, err := ParseTimecode(strings.TrimSpace(cell(code)), in.Rate)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", code, err)
	}
	return f - in.Start, nil
}
