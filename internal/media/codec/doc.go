// Package codec is the embedded FFmpeg: FFmpeg n5.1.10 with libx264 compiled to
// WebAssembly, run by wazero inside a child process.
//
// The program starts itself again with the hidden sub-command Command and Main
// runs there. Only that child unpacks and compiles the module, so a command
// that needs no codec pays nothing for it, and killing the child is the way to
// cancel: the WebAssembly runtime's own cancellation makes decoding several
// times slower.
//
// The build tag nocodec leaves the module (and with it the GPL-3.0 parts) out.
// NOTICE.md names the origin and the licences.
package codec

// Command is the hidden sub-command that main hands to Main before anything
// else: takeweave __codec ffmpeg ARGS...
const Command = "__codec"
