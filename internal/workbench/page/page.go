// Package page holds the page of the workbench as the program serves it: one
// document, one script, one style sheet, made from the sources in ui.
package page

import "embed"

// Files are index.html, app.js and app.css.
//
//go:embed index.html app.js app.css
var Files embed.FS
