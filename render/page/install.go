package page

import (
	"encoding/json"
	"fmt"

	"benchleaf/theme"
)

// appManifest is a web app manifest (W3C, Web Application Manifest): by it a phone
// puts the handbook on its screen. Addresses in it are relative to its own.
type appManifest struct {
	Name       string    `json:"name"`
	Lang       string    `json:"lang"`
	Dir        string    `json:"dir"`
	Start      string    `json:"start_url"`
	Scope      string    `json:"scope"`
	Display    string    `json:"display"`
	Background string    `json:"background_color"`
	Theme      string    `json:"theme_color"`
	Icons      []appIcon `json:"icons"`
}

type appIcon struct {
	Source  string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

const appManifestPath = "app.webmanifest"

// touchIcon is the size that phones without such manifests ask for, on their screens.
const touchIcon = 180

func iconPath(size int) string { return fmt.Sprintf("icons/%d.png", size) }

// installFiles are what a phone asks for to keep a handbook: the worker, the
// manifest, its icons.
func (r *Renderer) installFiles() ([]File, error) {
	worker, err := r.theme.Worker()
	if err != nil {
		return nil, err
	}
	files := []File{{"worker.js", worker}}
	lang := r.book.Languages[0]
	title := r.book.Title.In(lang)
	m := appManifest{
		Name: title, Lang: lang, Dir: theme.Direction(lang), Start: FinderPath(r.book, lang), Scope: "./", Display: "standalone",
		Background: "#d9d6cb", Theme: "#15181b", // ground and bar of the style
	}
	for _, size := range []int{192, 512, touchIcon} {
		data, err := icon(title, size)
		if err != nil {
			return nil, err
		}
		files = append(files, File{iconPath(size), data})
		if size != touchIcon {
			m.Icons = append(m.Icons, appIcon{iconPath(size), fmt.Sprintf("%dx%[1]d", size), "image/png", "any maskable"})
		}
	}
	text, err := json.MarshalIndent(m, "", " ")
	return append(files, File{appManifestPath, append(text, '\n')}), err
}
