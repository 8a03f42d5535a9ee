package plan

import (
	"encoding/json"
	"sync"

	"takeweave/internal/schedule"
)

// Memory keeps the last days that were put in order, so that a plan that is
// dragged about is not solved again while nothing of its order changes.
type Memory struct {
	mu   sync.Mutex
	days map[string]solved
}

type solved struct {
	plan schedule.Plan
	err  error
}

// mostDays is how many days are kept: enough for going back and forth.
const mostDays = 32

// solve returns the plan of a day.
func (m *Memory) solve(day schedule.Day) (schedule.Plan, error) {
	if m == nil {
		return day.Plan()
	}
	key, err := json.Marshal(day)
	if err != nil {
		return day.Plan()
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if s, ok := m.days[string(key)]; ok {
		return s.plan, s.err
	}
	if m.days == nil || len(m.days) >= mostDays {
		m.days = map[string]solved{}
	}
	var s solved
	s.plan, s.err = day.Plan()
	m.days[string(key)] = s
	return s.plan, s.err
}
