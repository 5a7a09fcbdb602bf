// The one entry of the client bundle. Pages work without it: it adds keyboard niceties only.

// Says to style sheets and tests that the bundle ran.
document.documentElement.dataset["client"] = "ready";

export {};
