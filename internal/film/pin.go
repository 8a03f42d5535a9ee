package film

import "fmt"

// PinKind is what a pin asks of the cut.
type PinKind string

// The kinds of pins. All but PinCut hold over Pin.Span.
const (
	PinShowPass  PinKind = "show-pass"  // this pass is seen
	PinShowSetup PinKind = "show-setup" // this setup is seen
	PinNotPass   PinKind = "not-pass"   // this pass is never seen
	PinNotSetup  PinKind = "not-setup"  // this setup is never seen
	PinCut       PinKind = "cut"        // a cut falls exactly at Span.From
	PinNoCut     PinKind = "no-cut"     // no cut falls inside; with an empty span: none at Span.From
	PinOverrule  PinKind = "overrule"   // this pass may be seen although it was refused: the person says it is good
)

// Pin is one decision of the person about the cut. It is never moved: the rest
// of the cut heals around it.
//
// A film frame belongs to a span when the middle of the frame lies in it.
type Pin struct {
	ID   int64    `json:"id"`
	Kind PinKind  `json:"kind"`
	Span SongSpan `json:"span"`            // a line, a beat range, a word, or any stretch
	Pass string   `json:"pass,omitempty"`  // of show-pass, not-pass, overrule
	Name string   `json:"setup,omitempty"` // of show-setup, not-setup: the name of the setup
	// Strong is a promise: what is pinned is shown in one shot even where that
	// is shorter than the shortest shot or parts further than tolerated.
	Strong bool `json:"strong,omitempty"`
	// Source is what a show-pass pin shows at the start of its span; nil leaves
	// it to the cut. Speed goes with it: pass seconds per song second, 0 is native.
	Source *PassTime `json:"source_start_s,omitempty"`
	Speed  float64   `json:"speed,omitempty"`
	// Said is how the person named the span, "V2.3" or a word; "" when by time.
	Said string `json:"said,omitempty"`
}

// Say returns the pin in words, with its number.
func (p Pin) Say() string {
	where := p.Said
	if where == "" {
		where = fmt.Sprintf("%.2f to %.2f s", float64(p.Span.From), float64(p.Span.To))
		if p.Kind == PinCut || p.Span.Len() <= 0 {
			where = fmt.Sprintf("%.2f s", float64(p.Span.From))
		}
	}
	what := string(p.Kind)
	switch p.Kind {
	case PinShowPass:
		what = p.Pass + " shown in " + where
	case PinShowSetup:
		what = "the setup " + p.Name + " shown in " + where
	case PinNotPass:
		what = p.Pass + " never in " + where
	case PinNotSetup:
		what = "the setup " + p.Name + " never in " + where
	case PinCut:
		what = "a cut at " + where
	case PinNoCut:
		what = "no cut in " + where
	case PinOverrule:
		what = p.Pass + " allowed in " + where
	}
	if p.Strong {
		what += ", strong"
	}
	return fmt.Sprintf("pin %d (%s)", p.ID, what)
}
