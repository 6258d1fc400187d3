package standin

import (
	"encoding/json"
	"fmt"
	"io"
	"math/big"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"squaremark/api/platform"
)

// LineItem is one column of the gradebook.
type LineItem struct {
	ID         string // in its URL; letters, digits, hyphens
	Label      string
	Maximum    *big.Rat // what scores are rescaled to
	ResourceID string   // the tool's own name for what is marked
	Tag        string
}

// AddLineItem opens a column and gives its URL, the way a message of the platform would name it.
func (p *Platform) AddLineItem(item LineItem) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.items = append(p.items, item)
	return p.itemURL(item.ID)
}

// LineItems are the columns in the order in which they were opened.
func (p *Platform) LineItems() []LineItem {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.items)
}

// ContainerURL is where the line items are listed and made.
func (p *Platform) ContainerURL() string { return p.url + "/items" }

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
	ResourceID   string      `json:"resourceId,omitempty"`
	Tag          string      `json:"tag,omitempty"`
}

func (p *Platform) wire(item LineItem) wireItem {
	return wireItem{
		ID: p.itemURL(item.ID), Label: item.Label, ScoreMaximum: number(item.Maximum), ResourceID: item.ResourceID, Tag: item.Tag,
	}
}

func number(x *big.Rat) json.Number {
	digits, _ := x.FloatPrec()
	return json.Number(x.FloatString(digits))
}

func (p *Platform) serveItem(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, platform.ItemReadScope, platform.ItemScope) {
		return
	}
	item, known := p.item(r.PathValue("id"))
	if !known {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	answerJSON(w, http.StatusOK, platform.ItemMediaType, p.wire(item))
}

// serveItems lists the line items that fit the filters, page by page.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.2.4.
func (p *Platform) serveItems(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, platform.ItemReadScope, platform.ItemScope) {
		return
	}
	query := r.URL.Query()
	list := []wireItem{}
	for _, item := range p.LineItems() {
		fits := func(name, value string) bool { return !query.Has(name) || query.Get(name) == value }
		if fits("resource_id", item.ResourceID) && fits("tag", item.Tag) && !query.Has("resource_link_id") {
			list = append(list, p.wire(item))
		}
	}
	page, next := p.page(len(list), r.URL)
	if next != "" {
		w.Header().Set("Link", next)
	}
	answerJSON(w, http.StatusOK, platform.ItemContainerMediaType, list[page[0]:page[1]])
}

// page is what of a list is served, and the Link to the rest. The link is relative and keeps the query.
func (p *Platform) page(length int, asked *url.URL) (bounds [2]int, next string) {
	query := asked.Query()
	size := p.config.PageSize
	if wanted, err := strconv.Atoi(query.Get("limit")); err == nil && wanted > 0 && wanted < size {
		size = wanted
	}
	from, err := strconv.Atoi(query.Get("from"))
	if err != nil || from < 0 || from > length {
		from = 0
	}
	to := min(from+size, length)
	if to < length {
		query.Set("from", strconv.Itoa(to))
		next = fmt.Sprintf(`<%s?%s>; rel="next"`, asked.EscapedPath(), query.Encode())
	}
	return [2]int{from, to}, next
}

// createItem makes a line item. Source: LTI Assignment and Grade Services 2.0, sections 3.2.5 to 3.2.8.
func (p *Platform) createItem(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, platform.ItemScope) {
		return
	}
	mediaType, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || mediaType != platform.ItemMediaType {
		w.WriteHeader(http.StatusUnsupportedMediaType)
		return
	}
	var wanted wireItem
	body, err := io.ReadAll(io.LimitReader(r.Body, maxBody))
	if err != nil || json.Unmarshal(body, &wanted) != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	maximum, ok := new(big.Rat).SetString(wanted.ScoreMaximum.String())
	if !ok || maximum.Sign() <= 0 || strings.TrimSpace(wanted.Label) == "" || wanted.ID != "" {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	p.mu.Lock()
	item := LineItem{ID: fmt.Sprintf("made-%d", len(p.items)+1), Label: wanted.Label, Maximum: maximum, ResourceID: wanted.ResourceID, Tag: wanted.Tag}
	p.items = append(p.items, item)
	p.mu.Unlock()
	answerJSON(w, http.StatusCreated, platform.ItemMediaType, p.wire(item))
}

func answerJSON(w http.ResponseWriter, status int, mediaType string, value any) {
	body, err := json.Marshal(value)
	if err != nil {
		w.WriteHeader(http.StatusInternalServerError)
		return
	}
	answer(w, status, mediaType, body)
}
