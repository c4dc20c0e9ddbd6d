package impose

// Keeps the modules in go.mod while their packages are being written; goes when all are in use.
import (
	_ "codeberg.org/go-fonts/dejavu/dejavusans"
	_ "codeberg.org/go-fonts/latin-modern/lmroman10regular"
	_ "codeberg.org/go-fonts/liberation/liberationsansregular"
	_ "codeberg.org/go-fonts/stix/stix2textregular"
	_ "github.com/adrg/xdg"
	_ "github.com/go-text/typesetting/fontscan"
	_ "github.com/go-text/typesetting/harfbuzz"
	_ "github.com/go-text/typesetting/segmenter"
	_ "github.com/klippa-app/go-pdfium/webassembly"
	_ "github.com/pdfcpu/pdfcpu/pkg/api"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/schollz/progressbar/v3"
	_ "github.com/spf13/cobra"
	_ "github.com/spf13/viper"
	_ "github.com/tdewolff/font"
	_ "github.com/xuri/excelize/v2"
	_ "go.yaml.in/yaml/v3"
	_ "golang.org/x/image/font/gofont/goregular"
	_ "golang.org/x/term"
	_ "golang.org/x/text/encoding/charmap"
	_ "golang.org/x/text/unicode/bidi"
	_ "golang.org/x/text/unicode/norm"
	_ "modernc.org/knuth/tex"
	_ "pgregory.net/rapid"
)
