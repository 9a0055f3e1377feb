package picture

import (
	"bytes"
	"image"
	"image/png"
	"sync"
)

// PNG writes a picture without loss, in as few bytes as that takes.
func PNG(m image.Image) ([]byte, error) {
	var b bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression, BufferPool: &encoders}
	err := encoder.Encode(&b, m)
	return b.Bytes(), err
}

// encoders are those that stand idle. Making one takes longer than a drawing of few colours does.
var encoders idle

type idle struct{ sync.Pool }

// Get implements png.EncoderBufferPool.
func (p *idle) Get() *png.EncoderBuffer {
	b, _ := p.Pool.Get().(*png.EncoderBuffer)
	return b
}

// Put implements png.EncoderBufferPool.
func (p *idle) Put(b *png.EncoderBuffer) { p.Pool.Put(b) }
