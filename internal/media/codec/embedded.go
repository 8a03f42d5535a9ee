//go:build !nocodec

package codec

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"codeberg.org/gruf/go-ffmpreg/wasm"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/experimental"
)

//go:embed ffmpreg.wasm.gz
var packed []byte

// Available reports why the embedded FFmpeg cannot run here, or nil. On
// processors without a compiler in wazero it would be interpreted, which is too
// slow to be of use; file paths with drive letters cannot be mounted.
func Available() error {
	if runtime.GOARCH != "amd64" && runtime.GOARCH != "arm64" {
		return fmt.Errorf("the embedded FFmpeg is too slow on %s", runtime.GOARCH)
	}
	if runtime.GOOS == "windows" {
		return fmt.Errorf("the embedded FFmpeg does not run on Windows")
	}
	return nil
}

// Main runs args[0] ("ffmpeg" or "ffprobe") with the rest as its arguments on
// the process's own stdin, stdout and stderr, and returns its exit code. File
// names among the arguments must be absolute: WebAssembly has no working
// directory. Files it creates have mode 0600.
func Main(args []string) int {
	code, err := run(args)
	if err != nil {
		fmt.Fprintln(os.Stderr, "embedded codec:", err)
		return 1
	}
	return code
}

func run(args []string) (int, error) {
	if len(args) == 0 || (args[0] != "ffmpeg" && args[0] != "ffprobe") {
		return 0, fmt.Errorf("want ffmpeg or ffprobe and its arguments")
	}
	if err := Available(); err != nil {
		return 0, err
	}
	module, err := unpack()
	if err != nil {
		return 0, err
	}
	ctx := experimental.WithCompilationWorkers(context.Background(), runtime.GOMAXPROCS(0))
	config := wazero.NewRuntimeConfig()
	if cache, err := wazero.NewCompilationCacheWithDir(cacheDir()); err == nil {
		defer cache.Close(ctx)
		config = config.WithCompilationCache(cache)
	} // without a cache it works too, and compiles each time
	rt, err := wasm.NewRuntime(ctx, config)
	if err != nil {
		return 0, err
	}
	defer rt.Close(ctx)
	compiled, err := rt.CompileModule(ctx, module)
	if err != nil {
		return 0, err
	}
	code, err := wasm.Run(ctx, rt, compiled, wasm.Args{
		Name:   args[0],
		Args:   args[1:],
		Stdin:  os.Stdin,
		Stdout: os.Stdout,
		Stderr: os.Stderr,
		Config: func(c wazero.ModuleConfig) wazero.ModuleConfig {
			return c.WithFSConfig(wazero.NewFSConfig().WithDirMount("/", "/")).
				WithSysWalltime().WithSysNanotime().WithSysNanosleep()
		},
	})
	return int(code), err
}

func unpack() ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}

// cacheDir holds the compiled module, about 70 MB.
func cacheDir() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	return filepath.Join(dir, "takeweave", "wazero")
}
