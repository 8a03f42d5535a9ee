package film

// Source says where a default number comes from.
type Source string

// Where numbers come from.
const (
	Physics     Source = "physics"
	Published   Source = "published guidance"
	RuleOfThumb Source = "rule of thumb"
	Measured    Source = "measured"
)

// Default is a number that the plan begins with and the person may change.
type Default struct {
	Name   string  `json:"name"` // what it is, in words
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"` // "" for a plain ratio
	Source Source  `json:"source"`
	From   string  `json:"from"` // who says so, or what was measured
}

// TakeDefaults sets numbers to their defaults, which are in the same order.
func TakeDefaults(to []*float64, from []Default) {
	for i, value := range to {
		*value = from[i].Value
	}
}
