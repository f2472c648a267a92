-- The names by which scores are known. Many kinds of file are called .xml; a score says so near its beginning.
local function xml(_, buffer)
  local head = table.concat(vim.api.nvim_buf_get_lines(buffer or 0, 0, 100, false), "\n")
  local is_score = head:find("<score%-partwise") or head:find("<score%-timewise")
  return is_score and "musicxml" or "xml"
end

vim.filetype.add({
  extension = { abc = "abc", krn = "kern", kern = "kern", musicxml = "musicxml", xml = xml },
})
