package light

// Practical is a small lamp that is seen in the picture.
type Practical struct {
	Name string `json:"name"`
	// Luminance in cd/m² as a spot meter reads it; 0 is not measured.
	Luminance float64 `json:"luminance,omitempty"`
	// WishedStops is how much brighter than the middle tone it shall look.
	WishedStops float64 `json:"wished_stops,omitempty"`
	// OffStops is by how much it is too bright, 0 for right, judged by eye at the
	// exposure of the scene; counts where the luminance is not measured.
	OffStops float64 `json:"off_stops,omitempty"`
}

// StopsOver returns how much brighter than the middle tone of the exposure a lamp
// in the picture looks, k being the meter constant. It wants a measured luminance.
func (p Practical) StopsOver(e Exposure, k float64) float64 {
	return StopsOf(p.Luminance / e.Luminance(k))
}

// off returns by how many stops the lamp is too bright.
func (p Practical) off(e Exposure, k float64) float64 {
	if p.Luminance == 0 {
		return p.OffStops
	}
	return p.StopsOver(e, k) - p.WishedStops
}
