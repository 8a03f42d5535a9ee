package job

import (
	"math"
	"sync"
	"sync/atomic"
	"time"
)

// Event is the state of one stage of the work.
type Event struct {
	Stage string  `json:"stage"`
	Done  float64 `json:"done"`
	Total float64 `json:"total"`
	Unit  string  `json:"unit"`
	// Remaining is the expected time to the end in seconds; negative while unknown.
	Remaining float64 `json:"remaining_s"`
	Note      string  `json:"note,omitempty"`
	Ended     bool    `json:"ended"`
}

// Progress tells a listener how the work goes. A nil *Progress is legal and
// silent. The listener is called from one goroutine at a time.
type Progress struct {
	listen func(Event)
	mu     sync.Mutex
}

// NewProgress returns a Progress that tells listen.
func NewProgress(listen func(Event)) *Progress { return &Progress{listen: listen} }

func (p *Progress) tell(e Event) {
	if p == nil || p.listen == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.listen(e)
}

// tick is how often a running stage reports.
const tick = 250 * time.Millisecond

// Stage is one running stage. Add may be called from several goroutines.
type Stage struct {
	p       *Progress
	name    string
	unit    string
	total   float64
	doneBit atomic.Uint64 // float64 bits
	note    atomic.Value  // string
	began   time.Time
	stop    chan struct{}
	stopped sync.WaitGroup
}

// Stage begins a stage of total units. End must be called.
func (p *Progress) Stage(name string, total float64, unit string) *Stage {
	s := &Stage{p: p, name: name, unit: unit, total: total, began: time.Now(), stop: make(chan struct{})}
	s.note.Store("")
	p.tell(s.event(false))
	s.stopped.Add(1)
	go func() {
		defer s.stopped.Done()
		t := time.NewTicker(tick)
		defer t.Stop()
		for {
			select {
			case <-s.stop:
				return
			case <-t.C:
				p.tell(s.event(false))
			}
		}
	}()
	return s
}

// Add reports n more units done.
func (s *Stage) Add(n float64) {
	for {
		old := s.doneBit.Load()
		if s.doneBit.CompareAndSwap(old, math.Float64bits(math.Float64frombits(old)+n)) {
			return
		}
	}
}

// Part returns a func that reports a share done, 0 to 1, of size units, for
// one of several things being worked on side by side. It may be called from
// one goroutine.
func (s *Stage) Part(size float64) func(done float64) {
	var last float64
	return func(done float64) {
		if done > last {
			s.Add((done - last) * size)
			last = done
		}
	}
}

// Note sets the words shown beside the figures.
func (s *Stage) Note(words string) { s.note.Store(words) }

// End ends the stage; the last report always arrives.
func (s *Stage) End() {
	close(s.stop)
	s.stopped.Wait()
	s.p.tell(s.event(true))
}

func (s *Stage) event(ended bool) Event {
	done := math.Float64frombits(s.doneBit.Load())
	e := Event{Stage: s.name, Done: done, Total: s.total, Unit: s.unit, Remaining: -1, Note: s.note.Load().(string), Ended: ended}
	if gone := time.Since(s.began).Seconds(); s.total > 0 && done > 0.02*s.total && gone > 1 {
		e.Remaining = math.Max(0, gone*(s.total-done)/done)
	}
	return e
}
