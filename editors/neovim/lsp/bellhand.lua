-- How Neovim starts the language server: found by its name, enabled in plugin/bellhand.lua.
local options = require("bellhand").options()

---@type vim.lsp.Config
return {
  cmd = { options.path, "lsp" },
  filetypes = { "abc", "kern", "musicxml" },
  root_markers = { "bellhand.toml", ".git" },
  init_options = require("bellhand").init_options(),
}
