// Package cli is the command line: one file per command, an options struct, its
// flags, and a call of the same steps that every other front end calls.
package cli
