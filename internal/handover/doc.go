// Package handover turns a cut into a file that can be published, and a report
// that says how good it is.
//
// Render renders each shot of the cut to a segment of its own, side by side,
// and joins the segments without loss under the record. A rendered shot is kept
// in the cache under the hash of all that it shows, so an interrupted render
// goes on where it stopped, and after a change only the changed shots are made
// again. Report writes a self-contained page.
package handover
