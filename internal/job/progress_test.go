package job

import (
	"math"
	"sync"
	"testing"
)

func TestTheLastReportArrivesAndAddsUp(t *testing.T) {
	var events []Event
	p := NewProgress(func(e Event) { events = append(events, e) })
	s := p.Stage("lineup", 10, "min")
	var g sync.WaitGroup
	for range 10 {
		g.Go(func() {
			part := s.Part(1)
			for i := range 101 {
				part(float64(i) / 100)
			}
			part(0.5) // going back is not counted twice
		})
	}
	g.Wait()
	s.End()
	last := events[len(events)-1]
	if !last.Ended || math.Abs(last.Done-10) > 1e-9 || last.Stage != "lineup" {
		t.Errorf("last report: %+v", last)
	}
	if events[0].Done != 0 || events[0].Remaining >= 0 {
		t.Errorf("first report promises a time: %+v", events[0])
	}
}

func TestNoListenerIsLegal(t *testing.T) {
	var p *Progress
	s := p.Stage("cut", 1, "cut")
	s.Add(1)
	s.End()
}
