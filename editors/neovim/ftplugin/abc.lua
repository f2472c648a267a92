-- A tune open for editing: its comments, and its colours from the tree where the parser is built.
if vim.b.did_ftplugin then
  return
end
vim.b.did_ftplugin = 1

vim.bo.commentstring = "% %s"
vim.bo.comments = ":%"
require("bellhand").colour(0)
vim.b.undo_ftplugin = "setlocal commentstring< comments<"
