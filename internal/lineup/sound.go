package lineup

import "takeweave/internal/dsp"

// Sound returns what the recording was heard from.
func (r *Recording) Sound() dsp.Source { return r.src }
