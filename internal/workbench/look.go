package workbench

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"net/http"

	"takeweave/internal/job"
	"takeweave/internal/look"
)

// looked answers GET /api/look.
func (v *Server) looked(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	told, err := w.TellLook(ctx)
	if err != nil {
		return nil, err
	}
	out := Looked{Words: told.Words, Effects: told.Effects, Baked: told.Baked, NoRoom: orEmpty(told.NoRoom)}
	if out.Effects == nil {
		out.Effects = []look.Effect{}
	}
	out.Apart, err = w.OverOrBeside(ctx, told.Look)
	return out, err
}

// table answers POST /api/table.
func (v *Server) table(out http.ResponseWriter, r *http.Request) error {
	var ask TableAsk
	if err := read(r, &ask); err != nil {
		return err
	}
	_, w := v.known(r)
	t, err := w.TryTable(ask.Look, ask.Trim, ask.Quick)
	if err != nil {
		return err
	}
	body := make([]byte, 0, 12*len(t.Values))
	for _, c := range t.Values {
		for _, value := range c {
			body = binary.LittleEndian.AppendUint32(body, math.Float32bits(value))
		}
	}
	out.Header().Set("Content-Type", "application/octet-stream")
	out.Header().Set("Cache-Control", "no-store")
	_, err = out.Write(body)
	return err
}

// instants answers GET /api/instants.
func (v *Server) instants(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	all, err := w.HardInstants(ctx, orderOf(r))
	return Instants{Instants: all}, err
}

// scopes answers POST /api/scopes.
func (v *Server) scopes(r *http.Request) (any, error) {
	var ask job.ScopesAsk
	if err := read(r, &ask); err != nil {
		return nil, err
	}
	ctx, w := v.known(r)
	return w.Scopes(ctx, ask)
}

// match answers POST /api/match.
func (v *Server) match(r *http.Request) (any, error) {
	var ask job.MatchAsk
	if err := read(r, &ask); err != nil {
		return nil, err
	}
	ctx, w := v.known(r)
	return w.Match(ctx, ask)
}

// mostLUT is the largest LUT file that is taken: a cube of 129 points a side has
// 2.1 million lines.
const mostLUT = 128 << 20

// takeLUT answers POST /api/lut.
func (v *Server) takeLUT(r *http.Request) (any, error) {
	var file LUTFile
	if err := json.NewDecoder(http.MaxBytesReader(nil, r.Body, mostLUT)).Decode(&file); err != nil {
		return nil, usage("the table did not come over whole: %v", err)
	}
	ctx, w := v.known(r)
	l, _, err := w.Look(ctx)
	if err != nil {
		return nil, err
	}
	warnings, err := w.TakeLUT(file.Name, []byte(file.Text), l.Encoding)
	if err == nil {
		v.live.changed()
	}
	return LUTTaken{Name: file.Name, Warnings: orEmpty(warnings)}, err
}

// lookSheet answers GET /media/look-sheet.
func (v *Server) lookSheet(out http.ResponseWriter, r *http.Request) error {
	ctx, w := v.known(r)
	out.Header().Set("Content-Type", "text/html; charset=utf-8")
	out.Header().Set("Content-Disposition", `attachment; filename="look.html"`)
	return w.LookSheet(ctx, orderOf(r), out)
}
