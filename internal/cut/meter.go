package cut

import "takeweave/internal/film"

// meter returns means of a score on the agreement grid.
type meter struct {
	first   int
	score   []float64
	sum     []float64 // sum[i] is the integral of the score up to grid step i, in steps
	outside float64   // the score where there is none
}

func newMeter(first int, score []float64, outside float64) *meter {
	m := &meter{first: first, score: score, sum: make([]float64, len(score)+1), outside: outside}
	for k, v := range score {
		m.sum[k+1] = m.sum[k] + v - outside
	}
	return m
}

// mean returns the mean score over a span.
func (m *meter) mean(span film.SongSpan) float64 {
	return m.outside + (m.upTo(span.To)-m.upTo(span.From))*film.AgreementStep/span.Len()
}

func (m *meter) upTo(t film.SongTime) float64 {
	x := float64(t)/film.AgreementStep - float64(m.first)
	if x <= 0 {
		return 0
	}
	i := int(x)
	if i >= len(m.score) {
		return m.sum[len(m.score)]
	}
	return m.sum[i] + (x-float64(i))*(m.score[i]-m.outside)
}
