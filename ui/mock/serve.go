package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"takeweave/internal/film"
	"takeweave/internal/workbench"
)

// policy is what the page may load: what the program itself serves.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; connect-src 'self'; font-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

type event struct {
	name string
	data any
}

func (d *day) routes(page string) http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /api/film", func(w http.ResponseWriter, _ *http.Request) {
		d.answer(w, func() any { f := d.film; f.Working = d.work; return f })
	})
	m.HandleFunc("GET /api/cut", func(w http.ResponseWriter, r *http.Request) {
		d.answer(w, func() any { return d.cut(r.FormValue("of")) })
	})
	m.HandleFunc("GET /api/others", func(w http.ResponseWriter, r *http.Request) { d.answer(w, func() any { return d.others(r) }) })
	m.HandleFunc("GET /api/why", func(w http.ResponseWriter, r *http.Request) {
		d.answer(w, func() any {
			return workbench.Why{Words: r.FormValue("pass") + " is late by 46 ms here; this setup tolerates 20 ms. It would hold for 1.9 s from beat 4.", Overrulable: true}
		})
	})
	m.HandleFunc("POST /api/decide", d.decide)
	m.HandleFunc("POST /api/undo", func(w http.ResponseWriter, _ *http.Request) { d.turn(w, &d.past, &d.next, "undone: ") })
	m.HandleFunc("POST /api/redo", func(w http.ResponseWriter, _ *http.Request) { d.turn(w, &d.next, &d.past, "done again: ") })
	m.HandleFunc("POST /api/work", d.startWork)
	m.HandleFunc("POST /api/stop", func(w http.ResponseWriter, _ *http.Request) {
		d.mu.Lock()
		if d.stop != nil {
			close(d.stop)
			d.stop = nil
		}
		d.mu.Unlock()
		w.WriteHeader(http.StatusNoContent)
	})
	m.HandleFunc("GET /api/live", d.live)
	d.planRoutes(m)
	d.mediaRoutes(m)
	m.Handle("GET /", http.FileServer(http.Dir(page)))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		w.Header().Set("Cache-Control", "no-store")
		m.ServeHTTP(w, r)
	})
}

func (d *day) answer(w http.ResponseWriter, what func() any) {
	d.mu.Lock()
	defer d.mu.Unlock()
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(what())
}

func refuse(w http.ResponseWriter, message, hint string) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(http.StatusBadRequest)
	_ = json.NewEncoder(w).Encode(workbench.Failure{Message: message, Hint: hint})
}

func (d *day) others(r *http.Request) workbench.Others {
	from, _ := strconv.ParseFloat(r.FormValue("from"), 64)
	to, _ := strconv.ParseFloat(r.FormValue("to"), 64)
	var out workbench.Others
	span := film.SongSpan{From: film.SongTime(from), To: film.SongTime(to)}
	for _, p := range d.film.Passes {
		if len(p.Ribbons) == 0 || p.Ribbons[0].Span.Overlap(span) < span.Len()-0.1 || len(out.Others) == 5 {
			continue
		}
		k := p.Ribbons[0].Knots[0]
		n := len(out.Others)
		o := workbench.Other{
			Pass: p.Name, Cost: fmt.Sprintf("costs %.1f more, as much as %d cuts on a weak beat", 0.4+float64(n)*0.7, n+1),
			Shots: []film.Shot{{First: rate.NearestFrame(span.From), End: rate.NearestFrame(span.To), Pass: p.Name, Setup: p.Setup, Clip: p.Files[0].Clip, SourceStart: film.PassTime(from + k[1] - k[0]), Speed: 1}},
		}
		if n%2 == 1 {
			o.Words = []string{"1 cut moved in Verse 2.1"}
		}
		out.Others = append(out.Others, o)
	}
	return out
}

// decide takes pins, wishes, setups, orders, and of the edits of the song the pace
// and the lyrics.
func (d *day) decide(w http.ResponseWriter, r *http.Request) {
	var dec workbench.Decision
	if err := json.NewDecoder(r.Body).Decode(&dec); err != nil {
		refuse(w, "this is no decision", "reload the page")
		return
	}
	d.mu.Lock()
	before := d.film
	f := d.film
	f.Pins = slices.Clone(f.Pins)
	var said string
	switch dec.Do {
	case "pin":
		dec.Pin.ID = int64(len(d.past) + 100)
		f.Pins = append(f.Pins, inWords(*dec.Pin))
		said = f.Pins[len(f.Pins)-1].Words
	case "unpin":
		f.Pins = slices.DeleteFunc(f.Pins, func(p workbench.Pin) bool { return p.ID == dec.ID })
		said = fmt.Sprintf("pin %d taken out", dec.ID)
	case "wishes":
		f.Wishes, said = *dec.Wishes, "other wishes for the whole film"
	case "setup":
		f.Setups = slices.Clone(f.Setups)
		for i := range f.Setups {
			if f.Setups[i].Name == dec.Setup.Name {
				f.Setups[i] = *dec.Setup
			}
		}
		said = "the setup " + dec.Setup.Name + " is described anew"
	case "order":
		dec.Order.ID = string(dec.Order.Shape)
		dec.Order.Span = film.SongSpan{To: f.Song.Duration}
		f.Orders, said = append(slices.Clone(f.Orders), *dec.Order), "a film in "+string(dec.Order.Shape)+" is wanted"
	case "drop-order":
		f.Orders, said = slices.DeleteFunc(slices.Clone(f.Orders), func(o workbench.Order) bool { return o.ID == dec.Drop }), dec.Drop+" is not wanted any more"
	case "song":
		said = edit(&f, dec.Edit)
	default:
		d.mu.Unlock()
		refuse(w, "the page asked for "+strconv.Quote(dec.Do)+", which is not known", "reload the page")
		return
	}
	f.Rev++
	f.Done, f.Undone = append(slices.Clone(before.Done), said), nil
	old := d.cut("16:9")
	d.past, d.next, d.film = append(d.past, before), nil, f
	out := workbench.Decided{Rev: f.Rev, Words: said, Changes: changes(old, d.cut("16:9"), &f.Song)}
	d.mu.Unlock()
	d.answer(w, func() any { return out })
	d.tell(event{"rev", f.Rev})
}

func changes(a, b workbench.Cut, s *film.Song) []string {
	var out []string
	was := map[film.Frames]string{}
	for _, x := range a.Cut.Shots {
		was[x.First] = x.Pass
	}
	for _, x := range b.Cut.Shots {
		if p, ok := was[x.First]; !ok || p != x.Pass {
			out = append(out, s.Address(b.Cut.At(x.First))+" shows "+x.Pass)
		}
	}
	if len(out) > 4 {
		out = append(out[:4], fmt.Sprintf("and %d more shots", len(out)-4))
	}
	return out
}

func edit(f *workbench.Film, raw json.RawMessage) string {
	var e struct {
		Kind    string  `json:"kind"`
		Section int     `json:"section"`
		Seconds float64 `json:"seconds"`
		Text    string  `json:"text"`
	}
	_ = json.Unmarshal(raw, &e)
	switch e.Kind {
	case "pace":
		f.Song.Sections = slices.Clone(f.Song.Sections)
		if e.Section >= 0 && e.Section < len(f.Song.Sections) {
			f.Song.Sections[e.Section].PaceS = e.Seconds
			return fmt.Sprintf("%s in shots of %g s", f.Song.Sections[e.Section].Name, e.Seconds)
		}
	case "lyrics":
		f.Song.Lines = slices.Clone(f.Song.Lines)
		for i, text := range strings.Split(strings.TrimSpace(e.Text), "\n") {
			if i < len(f.Song.Lines) {
				f.Song.Lines[i].Text, f.Song.Lines[i].Words = text, words(text, f.Song.Lines[i].Span)
			}
		}
		return "the words of the song"
	}
	return "song: " + e.Kind
}

func (d *day) turn(w http.ResponseWriter, from, to *[]workbench.Film, word string) {
	d.mu.Lock()
	if len(*from) == 0 {
		d.mu.Unlock()
		refuse(w, "there is nothing to take back", "decide something first")
		return
	}
	f := (*from)[len(*from)-1]
	*from = (*from)[:len(*from)-1]
	*to = append(*to, d.film)
	f.Rev = d.film.Rev + 1
	f.Undone = nil
	for i := len(d.next) - 1; i >= 0; i-- {
		if n := len(d.next[i].Done); n > 0 {
			f.Undone = append(f.Undone, d.next[i].Done[n-1])
		}
	}
	old := d.cut("16:9")
	said := d.film.Done
	d.film = f
	out := workbench.Decided{Rev: f.Rev, Words: word + said[len(said)-1], Changes: changes(old, d.cut("16:9"), &f.Song)}
	d.mu.Unlock()
	d.answer(w, func() any { return out })
	d.tell(event{"rev", f.Rev})
}

// startWork pretends to work for some seconds.
func (d *day) startWork(w http.ResponseWriter, r *http.Request) {
	var s workbench.Start
	_ = json.NewDecoder(r.Body).Decode(&s)
	d.mu.Lock()
	if d.stop != nil {
		d.mu.Unlock()
		refuse(w, "another piece of work runs", "wait for it or stop it")
		return
	}
	stop := make(chan struct{})
	d.stop = stop
	d.mu.Unlock()
	w.WriteHeader(http.StatusNoContent)
	go func() {
		const steps = 200
		for i := range steps + 1 {
			work := workbench.Work{Do: s.Do, Stage: "hearing the passes", Done: float64(i), Total: steps, Unit: "passes", Remaining: float64(steps-i) / 10, Note: fmt.Sprintf("hands %d", 1+i/40)}
			if d.o.state == "failed" && i == 20 {
				work.Ended, work.Failed = true, "there is no room left on the disk: 1.2 GB are needed, 0.3 GB are free; make room and start again"
			}
			select {
			case <-stop:
				work.Ended, work.Failed = true, "it was stopped; what is done is kept"
			default:
			}
			work.Ended = work.Ended || i == steps
			d.mu.Lock()
			d.work = &work
			if work.Ended {
				d.stop = nil
			}
			d.mu.Unlock()
			d.tell(event{"work", work})
			if work.Ended {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
	}()
}

func (d *day) tell(e event) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for l := range d.listeners {
		select {
		case l <- e:
		default:
		}
	}
}

func (d *day) live(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	mine := make(chan event, 16)
	d.mu.Lock()
	d.listeners[mine] = true
	rev := d.film.Rev
	d.mu.Unlock()
	defer func() {
		d.mu.Lock()
		delete(d.listeners, mine)
		d.mu.Unlock()
	}()
	send := func(e event) {
		b, _ := json.Marshal(e.data)
		fmt.Fprintf(w, "event: %s\ndata: %s\n\n", e.name, b)
		_ = out.Flush()
	}
	send(event{"rev", rev})
	for {
		select {
		case e := <-mine:
			send(e)
		case <-r.Context().Done():
			return
		}
	}
}
