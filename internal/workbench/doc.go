// Package workbench serves the song sheet: the page on which the person works,
// the data behind it, the sound and pictures, and live events. It listens on this
// machine only and answers no other host or origin.
package workbench
