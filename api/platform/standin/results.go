package standin

import (
	"encoding/json"
	"net/http"

	"squaremark/api/platform"
)

// wireResult is a result as it is served. Source: LTI Assignment and Grade Services 2.0, section 3.3.4.
type wireResult struct {
	ID            string       `json:"id"`
	ScoreOf       string       `json:"scoreOf"`
	UserID        string       `json:"userId"`
	ResultScore   *json.Number `json:"resultScore,omitempty"`
	ResultMaximum json.Number  `json:"resultMaximum"`
	Comment       string       `json:"comment,omitempty"`
}

// serveResults shows the gradebook of one line item, page by page. A share of points that no decimal can write is
// rounded to six digits, as a gradebook of decimals would.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.3.
func (p *Platform) serveResults(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, platform.ResultScope) {
		return
	}
	item, known := p.item(r.PathValue("id"))
	if !known {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	list := []wireResult{}
	for _, entry := range p.Gradebook() {
		if entry.LineItem != item.ID || r.URL.Query().Has("user_id") && r.URL.Query().Get("user_id") != entry.UserID {
			continue
		}
		one := wireResult{
			ID: p.itemURL(item.ID) + "/results/" + entry.UserID, ScoreOf: p.itemURL(item.ID), UserID: entry.UserID,
			ResultMaximum: number(item.Maximum), Comment: entry.Score.Comment,
		}
		if entry.Shown != nil {
			shown := number(entry.Shown)
			if _, exact := entry.Shown.FloatPrec(); !exact {
				shown = json.Number(entry.Shown.FloatString(6))
			}
			one.ResultScore = &shown
		}
		list = append(list, one)
	}
	page, next := p.page(len(list), r.URL)
	if next != "" {
		w.Header().Set("Link", next)
	}
	answerJSON(w, http.StatusOK, platform.ResultMediaType, list[page[0]:page[1]])
}
