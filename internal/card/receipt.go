package card

import "time"

// Receipt is what a copy came to.
type Receipt struct {
	Made     time.Time `json:"made"`
	Card     string    `json:"card"`
	Listing  string    `json:"listing"`             // hash of names, sizes and times
	Content  string    `json:"content,omitempty"`   // hash of names and hashes; "" unless every file was read
	SameCard string    `json:"same_card,omitempty"` // the earlier copy of the very same content
	Bytes    int64     `json:"bytes"`
	Places   []Place   `json:"places"`
	Files    []File    `json:"files"`

	// Since the last copy into the same places.
	Grew    []string `json:"grew,omitempty"`    // new on the card
	Lost    []string `json:"lost,omitempty"`    // no longer on the card
	Changed []string `json:"changed,omitempty"` // not what they were

	Unlogged []string  `json:"unlogged,omitempty"` // clips that no logged pass names
	LeftOut  []string  `json:"left_out,omitempty"` // what computers keep on cards, which is not copied
	Problems []Problem `json:"problems,omitempty"`
	Notes    []string  `json:"notes,omitempty"`

	MayBeWiped bool     `json:"may_be_wiped"`
	Verdict    string   `json:"verdict"` // one sentence
	Why        []string `json:"why"`     // what it rests on
}

// Place is one of the folders copied to.
type Place struct {
	Folder      string `json:"folder"`
	Device      string `json:"device"`                // as the system names it
	OnCard      bool   `json:"on_card,omitempty"`     // it lies on the card's own device
	FromMemory  bool   `json:"from_memory,omitempty"` // what was read again may have come from memory
	Proven      int    `json:"proven"`                // files read back equal
	ProvenBytes int64  `json:"proven_bytes"`
	List        string `json:"list,omitempty"` // the hash list that was added
}

// counts reports whether a place may be one of those a card is wiped on.
func (p *Place) counts() bool {
	return !p.OnCard && !p.FromMemory && p.Device != memory && p.Device != untold
}

// File is a file of the card.
type File struct {
	Path     string    `json:"path"`
	Bytes    int64     `json:"bytes"`
	Modified time.Time `json:"modified"`
	Hash     string    `json:"xxh128,omitempty"` // "" when it could not be read
	Proven   []bool    `json:"proven"`           // by place
}

// Problem is a reason to keep the card.
type Problem struct {
	Path  string `json:"path,omitempty"`  // on the card; "" for the card or place as a whole
	Place string `json:"place,omitempty"` // "" for the card
	What  string `json:"what"`
	Hint  string `json:"hint,omitempty"` // what to do
}
