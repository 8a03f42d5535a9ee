package workbench

import (
	"net/http"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/plan"
)

// planned answers GET /api/plan.
func (v *Server) planned(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	p, err := w.Plan(ctx)
	if err != nil {
		return nil, err
	}
	told, err := w.TellPlanAs(ctx, p)
	return Planned{Plan: p, Told: told}, err
}

// tellPlan answers POST /api/plan/told: while something is dragged.
func (v *Server) tellPlan(r *http.Request) (any, error) {
	var p plan.Plan
	if err := read(r, &p); err != nil {
		return nil, err
	}
	ctx, w := v.known(r)
	return w.TellPlanAs(ctx, p)
}

// setPlan answers POST /api/plan.
func (v *Server) setPlan(r *http.Request) (any, error) {
	var p plan.Plan
	if err := read(r, &p); err != nil {
		return nil, err
	}
	ctx, w := v.known(r)
	return v.decided(func() (job.Decided, error) {
		was, err := w.Plan(ctx)
		if err != nil {
			return job.Decided{}, err
		}
		words, err := planWords(was, p)
		if err != nil {
			return job.Decided{}, err
		}
		return job.Decided{Words: words}, w.SetPlan(ctx, p, words)
	})
}

// planPage answers GET /print/{page}: a page of the plan on paper.
func (v *Server) planPage(out http.ResponseWriter, r *http.Request) error {
	ctx, w := v.known(r)
	p, err := w.Plan(ctx)
	if err != nil {
		return err
	}
	told, err := w.TellPlanAs(ctx, p)
	if err != nil {
		return err
	}
	pages, err := plan.Pages(p, told)
	if err != nil {
		return err
	}
	for _, page := range pages {
		if page.Name != r.PathValue("page") {
			continue
		}
		h := out.Header()
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Cache-Control", "no-store")
		// It brings its own style and runs nothing.
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		_, err := out.Write(page.HTML)
		return err
	}
	return &film.Error{Code: film.CodeNotFound, Msg: "there is no page " + r.PathValue("page") + " to print", Hint: "take one of those named on the page"}
}

// planToRecord answers POST /api/plan/to-record: what was planned on typed lines
// goes over to those of the record.
func (v *Server) planToRecord(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	return v.decided(func() (job.Decided, error) {
		changes, err := w.PlanToRecord(ctx)
		return job.Decided{Words: "the plan goes by the record's lines", Changes: changes}, err
	})
}
