"""Pages by what people do: parse, one act, redirect; or query, rule, render."""
