-- A score in spines: its comments and tabs, and its colours from the tree where the parser is built.
if vim.b.did_ftplugin then
  return
end
vim.b.did_ftplugin = 1

vim.bo.commentstring = "!! %s"
vim.bo.comments = ":!!"
-- The spines are parted by tabs, which must stay tabs.
vim.bo.expandtab = false
require("bellhand").colour(0)
vim.b.undo_ftplugin = "setlocal commentstring< comments< expandtab<"
