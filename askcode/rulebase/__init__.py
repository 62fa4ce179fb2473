"""Knowledge on disk as typed objects. `askcode.rulebase.book.Book` is the way in."""
