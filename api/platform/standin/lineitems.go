package standin

import (
	"encoding/json"
	"math/big"
	"net/http"
	"net/url"
	"slices"
)

// LineItem is one column of the gradebook.
type LineItem struct {
	ID      string // in its URL; letters, digits, hyphens
	Label   string
	Maximum *big.Rat // what scores are rescaled to
}

const readItems = "https://purl.imsglobal.org/spec/lti-ags/scope/lineitem.readonly"

// AddLineItem opens a column and gives its URL, the way a message of the platform would name it.
func (p *Platform) AddLineItem(item LineItem) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.items = append(p.items, item)
	return p.itemURL(item.ID)
}

func (p *Platform) itemURL(id string) string { return p.url + "/items/" + url.PathEscape(id) }

func (p *Platform) item(id string) (LineItem, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	at := slices.IndexFunc(p.items, func(item LineItem) bool { return item.ID == id })
	if at < 0 {
		return LineItem{}, false
	}
	return p.items[at], true
}

// wireItem is a line item as it is served. Source: LTI Assignment and Grade Services 2.0, section 3.2.
type wireItem struct {
	ID           string      `json:"id"`
	Label        string      `json:"label"`
	ScoreMaximum json.Number `json:"scoreMaximum"`
}

func (p *Platform) wire(item LineItem) wireItem {
	digits, _ := item.Maximum.FloatPrec()
	return wireItem{ID: p.itemURL(item.ID), Label: item.Label, ScoreMaximum: json.Number(item.Maximum.FloatString(digits))}
}

func (p *Platform) serveItem(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, readItems) {
		return
	}
	item, known := p.item(r.PathValue("id"))
	if !known {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	answerJSON(w, "application/vnd.ims.lis.v2.lineitem+json", p.wire(item))
}

func (p *Platform) serveItems(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, readItems) {
		return
	}
	p.mu.Lock()
	items := slices.Clone(p.items)
	p.mu.Unlock()
	list := make([]wireItem, len(items))
	for i, item := range items {
		list[i] = p.wire(item)
	}
	answerJSON(w, "application/vnd.ims.lis.v2.lineitemcontainer+json", list)
}

func answerJSON(w http.ResponseWriter, mediaType string, value any) {
	body, err := json.Marshal(value)
	if err != nil {
		w.WriteHeader(http.StatusInternalServerError)
		return
	}
	answer(w, http.StatusOK, mediaType, body)
}
