// Package house holds the project's own rules as tests: which room may import
// which, that every source named in a comment is listed in docs/references.md,
// that links in the documents lead somewhere, that every dependency is
// accounted for, and that nothing in the tree tells of the machine it was
// written on. It has no code of its own.
package house
