package page

import _ "embed" // the page is one file

// Phone is the page of the phone on the day: one document that holds its script
// and style, so that it goes on when the network drops.
//
//go:embed phone.html
var Phone []byte
