package songmap

func (MoveBeat) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
func (AddBeat) apply(*draft) (string, error)       { return "", badEdit("is not known yet", "") }
func (DropBeat) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
func (Tap) apply(*draft) (string, error)           { return "", badEdit("is not known yet", "") }
func (HalfTempo) apply(*draft) (string, error)     { return "", badEdit("is not known yet", "") }
func (DoubleTempo) apply(*draft) (string, error)   { return "", badEdit("is not known yet", "") }
func (ShiftDownbeat) apply(*draft) (string, error) { return "", badEdit("is not known yet", "") }
func (BeatsPerBar) apply(*draft) (string, error)   { return "", badEdit("is not known yet", "") }
func (SplitLine) apply(*draft) (string, error)     { return "", badEdit("is not known yet", "") }
func (JoinLine) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
func (MoveLine) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
func (NameSection) apply(*draft) (string, error)   { return "", badEdit("is not known yet", "") }
func (SectionStart) apply(*draft) (string, error)  { return "", badEdit("is not known yet", "") }
func (SectionDrop) apply(*draft) (string, error)   { return "", badEdit("is not known yet", "") }
func (Pace) apply(*draft) (string, error)          { return "", badEdit("is not known yet", "") }
func (Lyrics) apply(*draft) (string, error)        { return "", badEdit("is not known yet", "") }
func (LineText) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
func (Words) apply(*draft) (string, error)         { return "", badEdit("is not known yet", "") }
func (MustSee) apply(*draft) (string, error)       { return "", badEdit("is not known yet", "") }
func (DropMustSee) apply(*draft) (string, error)   { return "", badEdit("is not known yet", "") }
func (Rest) apply(*draft) (string, error)          { return "", badEdit("is not known yet", "") }
func (DropRest) apply(*draft) (string, error)      { return "", badEdit("is not known yet", "") }
