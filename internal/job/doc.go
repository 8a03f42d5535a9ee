// Package job runs the steps of the work, from a record and a card of clips to
// a finished film:
//
//	take in -> song -> lineup -> agree -> cut -> handover
//
// Every step is keyed by a hash of all that its result depends on (bytes of the
// sources, results of earlier steps, choices, method version). A step whose key
// is the stored one does nothing again. A step that is interrupted stores
// nothing. The command line, the workbench and the demo all start these same
// steps and show the same progress.
package job
