-- A score in MusicXML is coloured as the XML it is.
if vim.b.did_ftplugin then
  return
end
vim.b.did_ftplugin = 1

vim.bo.commentstring = "<!-- %s -->"
vim.bo.syntax = "xml"
vim.b.undo_ftplugin = "setlocal commentstring< syntax<"
