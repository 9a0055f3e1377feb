package picture

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"image"
	"io"
	"sync"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"
)

// libwebp is libwebp 1.4.0 with two functions around it, as the module
// github.com/gen2brain/webp 0.5.5 carries it; libwebp/ has the licences. That module
// itself takes a library of the machine where it finds one, whose bytes would be
// others; WebAssembly gives the same on all of them.
//
//go:embed libwebp/webp.wasm.gz
var libwebp []byte

// How lossy pictures are written: quality as libwebp counts it, 0 to 100, and how
// long it looks for fewer bytes, 0 to 6.
const (
	quality = 80
	method  = 4
)

// encoder is the compiled module. Each picture has an instance of its own, so that
// none depends on what was written before it.
type encoder struct {
	runtime wazero.Runtime
	module  wazero.CompiledModule
}

var theEncoder = sync.OnceValues(func() (*encoder, error) { return newEncoder(wazero.NewRuntimeConfig()) })

// newEncoder compiles the module; where wazero knows the processor to its
// instructions, else for an interpreter.
func newEncoder(config wazero.RuntimeConfig) (*encoder, error) {
	z, err := gzip.NewReader(bytes.NewReader(libwebp))
	if err != nil {
		return nil, err
	}
	code, err := io.ReadAll(z)
	if err != nil {
		return nil, err
	}
	ctx := context.Background()
	e := &encoder{runtime: wazero.NewRuntimeWithConfig(ctx, config)}
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, e.runtime); err != nil {
		return nil, err
	}
	e.module, err = e.runtime.CompileModule(ctx, code)
	return e, err
}

// encodeWebP writes a picture as WebP. The error tells of the machine, that memory
// ran out, and of nothing that a picture could hold.
func encodeWebP(m *image.NRGBA, lossless bool) ([]byte, error) {
	e, err := theEncoder()
	if err != nil {
		return nil, fmt.Errorf("libwebp: %w", err)
	}
	return e.encode(m, lossless)
}

func (e *encoder) encode(m *image.NRGBA, lossless bool) ([]byte, error) {
	ctx := context.Background()
	mod, err := e.runtime.InstantiateModule(ctx, e.module, wazero.NewModuleConfig().WithName(""))
	if err != nil {
		return nil, fmt.Errorf("libwebp: %w", err)
	}
	defer mod.Close(ctx)
	call := func(name string, args ...uint64) (uint32, error) {
		result, err := mod.ExportedFunction(name).Call(ctx, args...)
		if err != nil {
			return 0, fmt.Errorf("libwebp: %w", err)
		}
		if result[0] == 0 {
			return 0, errors.New("libwebp: " + name + " gives nothing")
		}
		return uint32(result[0]), nil
	}
	in, err := call("malloc", uint64(len(m.Pix)))
	if err != nil {
		return nil, err
	}
	size, err := call("malloc", 4)
	if err != nil {
		return nil, err
	}
	mod.Memory().Write(in, m.Pix)
	const rgba, exact = 0, 0
	var mode uint64
	if lossless {
		mode = 1
	}
	bounds := m.Bounds()
	out, err := call("encode", uint64(in), uint64(bounds.Dx()), uint64(bounds.Dy()), uint64(size), rgba, quality, method, mode, exact)
	if err != nil {
		return nil, err
	}
	n, _ := mod.Memory().ReadUint32Le(size)
	data, ok := mod.Memory().Read(out, n)
	if !ok {
		return nil, errors.New("libwebp: a picture beyond its memory")
	}
	return bytes.Clone(data), nil
}
