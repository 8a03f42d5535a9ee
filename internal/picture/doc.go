// Package picture measures a pass's picture over time: pixels in, values out.
package picture
