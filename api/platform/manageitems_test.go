package platform_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/big"
	"net/url"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

func (c *course) wanted(resource, tag string) platform.ItemQuery {
	return platform.ItemQuery{Container: c.ContainerURL() + "?section=B", ResourceID: resource, Tag: tag}
}

func plots() *platform.LineItem {
	return &platform.LineItem{Label: "Garden plots 4", Maximum: big.NewRat(15, 2)}
}

func TestLineItemsAreFoundByTheirNames(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope, PageSize: 2}, platform.ClientOptions{})
	for i := range 5 {
		c.AddLineItem(standin.LineItem{ID: fmt.Sprintf("plots-4%d", i), Label: "Plots", Maximum: big.NewRat(7, 1), ResourceID: fmt.Sprintf("quiz-%d", i%4), Tag: "circle"})
	}
	found, err := c.client.FindLineItems(context.Background(), c.registration, c.wanted("", "circle"))
	require.NoError(t, err)
	assert.Len(t, found, 5, "over three pages")
	one, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-2", "circle"), nil)
	require.NoError(t, err)
	assert.Equal(t, platform.LineItem{
		ID: c.URL() + "/items/plots-42", Label: "Plots", Maximum: big.NewRat(7, 1), ResourceID: "quiz-2", Tag: "circle",
	}, one)
	for query, reason := range map[platform.ItemQuery]string{
		c.wanted("quiz-0", ""): "several line items fit", c.wanted("quiz-9", ""): "no line item fits",
		{Container: c.ContainerURL(), ResourceLinkID: "link-88"}: "no line item fits",
	} {
		_, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, query, nil)
		assert.ErrorContains(t, err, reason)
	}
	_, err = c.client.FindLineItems(context.Background(), c.registration, platform.ItemQuery{Container: c.ContainerURL()})
	assert.ErrorContains(t, err, "at least one of")
	for _, request := range c.Seen(standin.ItemsEndpoint) {
		assert.Equal(t, "GET", request.Method)
		assert.Equal(t, platform.ItemContainerMediaType, request.Header.Get("Accept"))
	}
	first, err := url.Parse(c.Seen(standin.ItemsEndpoint)[0].Target)
	require.NoError(t, err)
	assert.Equal(t, url.Values{"section": {"B"}, "tag": {"circle"}, "limit": {"100"}}, first.Query(), "the container's query is kept")
	form, err := url.ParseQuery(string(c.Seen(standin.TokenEndpoint)[0].Body))
	require.NoError(t, err)
	assert.Equal(t, platform.ItemReadScope, form.Get("scope"), "looking needs the right to read alone")
}

// A platform that passes over filters is read all the same.
func TestFiltersThatArePassedOver(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	body, err := json.Marshal([]map[string]any{
		{"id": c.URL() + "/items/a", "label": "A", "scoreMaximum": 7, "resourceId": "quiz-1"},
		{"id": c.URL() + "/items/b", "label": "B", "scoreMaximum": 7, "resourceId": "quiz-2"},
	})
	require.NoError(t, err)
	c.Fail(standin.ItemsEndpoint, standin.Fault{Status: 200, Header: map[string]string{"Content-Type": platform.ItemContainerMediaType}, Body: string(body)})
	one, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-2", ""), nil)
	require.NoError(t, err)
	assert.Equal(t, "B", one.Label)
}

// An item is made once, whoever asks and whatever gets lost.
func TestLineItemsAreMadeOnce(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	var group sync.WaitGroup
	for range 20 {
		group.Go(func() {
			item, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-4", "circle"), plots())
			assert.NoError(t, err)
			assert.Equal(t, c.URL()+"/items/made-2", item.ID)
		})
	}
	group.Wait()
	made := c.LineItems()
	require.Len(t, made, 2)
	assert.Equal(t, standin.LineItem{ID: "made-2", Label: "Garden plots 4", Maximum: big.NewRat(15, 2), ResourceID: "quiz-4", Tag: "circle"}, made[1])

	// The platform made it, but its answer is lost.
	c.Fail(standin.ItemsEndpoint, standin.Fault{}, standin.Fault{Work: true, Reset: true})
	item, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-5", ""), plots())
	require.NoError(t, err)
	assert.Equal(t, c.URL()+"/items/made-3", item.ID)
	assert.Len(t, c.LineItems(), 3)

	// Scores go to the address that the platform gave.
	outcome, err := c.client.PostScore(context.Background(), c.registration, item.ID, c.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	assert.Equal(t, platform.Delivered, outcome.State)
}

func TestLineItemsThatCannotBeMade(t *testing.T) {
	made := map[string]string{"Content-Type": platform.ItemMediaType}
	for _, row := range []struct {
		name   string
		fault  standin.Fault
		item   *platform.LineItem
		reason string
		later  bool
	}{
		{"not permitted", standin.Fault{Status: 403}, plots(), "does not permit", false},
		{"a link that is not ours", standin.Fault{Status: 404}, plots(), "no such address", false},
		{"trouble", standin.Fault{Status: 500}, plots(), "passing trouble", true},
		{"redirect", standin.Fault{Status: 307, Header: map[string]string{"Location": "/token"}}, plots(), "redirect", false},
		{"an answer that is none", standin.Fault{Status: 201, Header: made, Body: `{"label":"x"}`}, plots(), "not what its media type says", false},
		{"an answer in another type", standin.Fault{Status: 201, Body: `{}`}, plots(), "media type", false},
		{"no label", standin.Fault{}, &platform.LineItem{Label: " ", Maximum: big.NewRat(7, 1)}, "label is blank", false},
		{"no maximum", standin.Fault{}, &platform.LineItem{Label: "Plots"}, "above zero", false},
		{"a maximum of thirds", standin.Fault{}, &platform.LineItem{Label: "Plots", Maximum: big.NewRat(7, 3)}, "not a decimal", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
			c.Fail(standin.ItemsEndpoint, standin.Fault{}, row.fault)
			_, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-4", ""), row.item)
			require.ErrorContains(t, err, row.reason)
			var fault *platform.CallError
			if row.later {
				require.ErrorAs(t, err, &fault)
				_, again := fault.RetryIn()
				assert.True(t, again)
			}
			assert.Len(t, c.LineItems(), 1)
		})
	}
	c := open(t, standin.Config{}, platform.ClientOptions{})
	_, err := c.client.FindOrCreateLineItem(context.Background(), c.registration, c.wanted("quiz-4", ""), plots())
	assert.ErrorContains(t, err, "scope", "a platform that does not grant the right says so")
	_, err = c.client.FindOrCreateLineItem(context.Background(), nil, c.wanted("quiz-4", ""), plots())
	assert.ErrorContains(t, err, "registration")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = c.client.FindOrCreateLineItem(ctx, c.registration, c.wanted("quiz-4", ""), plots())
	assert.Error(t, err)
}
