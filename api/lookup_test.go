package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// lookingUp lets the circle's submissions find line items, or also make them.
func lookingUp(right api.LookupRight) func(*api.Config) {
	return func(c *api.Config) {
		c.Platforms[0].Lookup = right
		c.LineItems = c.Sender.(*platform.Client)
	}
}

func lookup(c *circle, members map[string]any) map[string]any {
	all := map[string]any{"lineItems": c.platform.ContainerURL(), "resourceId": "garden-plots"}
	for name, value := range members {
		all[name] = value
	}
	return map[string]any{"target": map[string]any{"lookup": all}}
}

// A submission that names a quiz instead of a line item is scored on the one line item of that name, which is made
// when that is asked for.
func TestALineItemIsLookedUp(t *testing.T) {
	c := newCircle(t, lookingUp(api.LookupAndCreate))
	none := c.do(changed(lookup(c, nil))(c))
	require.Equal(t, 502, none.status, "%s", none.body)
	assert.Equal(t, "delivery-refused", none.problem(t))
	assert.NotContains(t, none.json(t), "receipt", "there is no line item yet that a receipt could name")
	delivery := none.json(t)["result"].(map[string]any)["delivery"].(map[string]any)
	assert.Equal(t, "looking for the line item: no line item fits", delivery["reason"])
	assert.Empty(t, c.platform.Gradebook())

	for _, pupil := range []string{"p-07c2", "p-1e90", "p-22bb"} {
		k := lookup(c, map[string]any{"create": true, "tag": "circle"})
		k["pupil"] = pupil
		answer := c.do(changed(k)(c))
		require.Equal(t, 200, answer.status, "%s", answer.body)
		delivery := answer.json(t)["delivery"].(map[string]any)
		assert.Equal(t, c.platform.ContainerURL()+"/made-2", delivery["lineItem"])
	}
	items := c.platform.LineItems()
	require.Len(t, items, 2, "made once")
	assert.Equal(t, "Garden plots", items[1].Label)
	assert.Equal(t, "7", items[1].Maximum.RatString())
	assert.Equal(t, "garden-plots", items[1].ResourceID)
	assert.Equal(t, "circle", items[1].Tag)
	assert.Len(t, c.platform.Gradebook(), 3)
	assert.Equal(t, 200, c.do(changed(lookup(c, nil))(c)).status, "found without making")
}

// Every row is a lookup that is refused, and the place that is named.
func TestLookupsThatAreNotPermitted(t *testing.T) {
	off, find, create := newCircle(t), newCircle(t, lookingUp(api.LookupOnly)), newCircle(t, lookingUp(api.LookupAndCreate))
	claim := func(c *circle, members map[string]any) map[string]any {
		all := map[string]any{"lineitems": c.platform.ContainerURL()}
		for name, value := range members {
			all[name] = value
		}
		return map[string]any{api.EndpointClaim: all}
	}
	for _, c := range []*circle{find, create} {
		c.platform.AddLineItem(standin.LineItem{ID: "plots-9", Label: "Plots", Maximum: big10, ResourceID: "garden-plots"})
	}
	scopes := func(all ...string) map[string]any { return map[string]any{"scope": all} }
	for _, row := range []struct {
		name   string
		circle *circle
		claims map[string]any
		target map[string]any
		place  string // "": permitted
	}{
		{"switched off", off, nil, nil, "/target/lookup"},
		{"find", find, nil, nil, ""},
		{"make, where only finding is allowed", find, nil, map[string]any{"create": true}, "/target/lookup/create"},
		{"make", create, nil, map[string]any{"create": true}, ""},
		{"another host", find, nil, map[string]any{"lineItems": "https://elsewhere.example/items"}, "/target/lookup/lineItems"},
		{"metadata address", find, nil, map[string]any{"lineItems": "http://169.254.169.254/latest"}, "/target/lookup/lineItems"},
		{"the container of the token", find, claim(find, nil), nil, ""},
		{"another container than the token's", find, claim(find, map[string]any{"lineitems": find.platform.ContainerURL() + "/2"}), nil, "/target"},
		{"a token for one line item", find, claim(find, map[string]any{"lineitem": find.lineItem}), nil, "/target"},
		{"a token with the right to read", find, claim(find, scopes(platform.ScoreScope, platform.ItemReadScope)), nil, ""},
		{"a token with all rights on line items", find, claim(find, scopes(platform.ScoreScope, platform.ItemScope)), nil, ""},
		{"a token without rights on line items", find, claim(find, scopes(platform.ScoreScope)), nil, "/target"},
		{"a token without the right to score", find, claim(find, scopes(platform.ItemScope)), nil, "/target"},
		{"a token with the right to read only, make", create, claim(create, scopes(platform.ScoreScope, platform.ItemReadScope)), map[string]any{"create": true}, "/target"},
		{"a token with the right to make", create, claim(create, scopes(platform.ScoreScope, platform.ItemScope)), map[string]any{"create": true}, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := *row.circle
			c.t = t
			answer := c.do(withClaims(changed(lookup(&c, row.target)), row.claims)(&c))
			if row.place == "" {
				assert.Equal(t, http.StatusOK, answer.status, "%s", answer.body)
				return
			}
			assert.Equal(t, "not-permitted", answer.problem(t), "%s", answer.body)
			assert.Equal(t, []string{row.place}, answer.pointers(t))
		})
	}
}

func TestLookupsThatBreakTheContract(t *testing.T) {
	c := newCircle(t, lookingUp(api.LookupOnly))
	for place, members := range map[string]map[string]any{
		"/target/lookup/resourceId": {"resourceId": ""}, "/target/lookup/tag": {"tag": "a b"}, "/target/lookup/create": {"create": "yes"},
		"/target/lookup/lineItems": {"lineItems": 7}, "/target/lookup": {"label": "Plots"},
	} {
		answer := c.do(changed(lookup(c, members))(c))
		assert.Equal(t, "invalid-submission", answer.problem(t))
		assert.Equal(t, []string{place}, answer.pointers(t))
	}
}

// While the platform is in trouble nothing is found; after the line item is found, a receipt names it.
func TestLookupsInTrouble(t *testing.T) {
	c := newCircle(t, lookingUp(api.LookupOnly))
	item := c.platform.AddLineItem(standin.LineItem{ID: "plots-9", Label: "Plots", Maximum: big10, ResourceID: "garden-plots"})
	c.platform.Fail(standin.ItemsEndpoint, standin.Fault{Status: 500}, standin.Fault{Status: 503, Header: map[string]string{"Retry-After": "40"}})
	answer := c.do(changed(lookup(c, nil))(c))
	assert.Equal(t, "delivery-delayed", answer.problem(t))
	assert.Equal(t, "40", answer.header.Get("Retry-After"))
	for range 4 { // reading is repeated by the HTTP client too where an idle connection breaks
		c.platform.Fail(standin.ItemsEndpoint, standin.Fault{Reset: true})
	}
	assert.Equal(t, "delivery-unanswered", c.do(changed(lookup(c, nil))(c)).problem(t))
	c.platform.Heal(standin.ItemsEndpoint)
	c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403})
	failed := c.do(changed(lookup(c, nil))(c)).json(t)
	assert.Equal(t, item, failed["result"].(map[string]any)["delivery"].(map[string]any)["lineItem"])
	redemption := c.redemption(failed["receipt"].(string))
	for container, status := range map[string]int{c.platform.ContainerURL() + "/2": 403, c.platform.ContainerURL(): 200} {
		pinned := c.token(map[string]any{api.EndpointClaim: map[string]any{"lineitems": container, "scope": []string{platform.ScoreScope}}})
		assert.Equal(t, status, c.do(redemption.with("Authorization", "Bearer "+pinned)).status, "a token for the container it was looked up in")
	}
	assert.Equal(t, 200, c.do(redemption).status)
	assert.Equal(t, "plots-9", c.platform.Gradebook()[0].LineItem)
}

func TestLookupNeedsSomebodyToFind(t *testing.T) {
	c := newCircle(t)
	bad := c.config
	bad.Platforms = append([]api.Platform(nil), bad.Platforms...)
	bad.Platforms[0].Lookup = api.LookupOnly
	_, err := api.New(bad)
	assert.ErrorContains(t, err, "nobody to find them")
	bad.Platforms[0].Lookup = "everything"
	_, err = api.New(bad)
	assert.ErrorContains(t, err, "not one of the known ones")
}
