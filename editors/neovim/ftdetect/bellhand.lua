-- The names by which scores are known.
vim.filetype.add({
  extension = { abc = "abc", krn = "kern", musicxml = "musicxml" },
})
