package main

import (
	"encoding/json"
	"net/http"

	"takeweave/internal/plan"
	"takeweave/internal/workbench"
)

// planRoutes answers what the page asks of the plan. It begins empty;
// what is decided of it is kept until the mock ends, and not taken back.
func (d *day) planRoutes(m *http.ServeMux) {
	m.HandleFunc("GET /api/plan", func(w http.ResponseWriter, _ *http.Request) {
		d.answer(w, func() any { return workbench.Planned{Plan: d.plan, Told: d.follows(d.plan)} })
	})
	m.HandleFunc("POST /api/plan/told", func(w http.ResponseWriter, r *http.Request) {
		if p, ok := planOf(w, r); ok {
			d.answer(w, func() any { return d.follows(p) })
		}
	})
	m.HandleFunc("POST /api/plan", func(w http.ResponseWriter, r *http.Request) {
		if p, ok := planOf(w, r); ok {
			d.answer(w, func() any {
				d.plan = p
				return workbench.Decided{Rev: d.film.Rev, Words: "the plan"}
			})
		}
	})
}

func (d *day) follows(p plan.Plan) plan.Told {
	return plan.Compute(p, plan.Known{Song: &d.film.Song})
}

func planOf(w http.ResponseWriter, r *http.Request) (p plan.Plan, ok bool) {
	if err := json.NewDecoder(r.Body).Decode(&p); err != nil {
		refuse(w, "this is no plan", "reload the page")
		return p, false
	}
	return p, true
}
