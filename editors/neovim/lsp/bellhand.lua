-- How Neovim starts the language server: found by its name, enabled in plugin/bellhand.lua.
local options = require("bellhand").options()

---@type vim.lsp.Config
return {
  cmd = { options.path, "lsp" },
  filetypes = { "abc", "kern", "musicxml", "toml" },
  root_dir = function(buffer, start)
    -- Of all that is written in TOML only what is set for scores.
    local name = vim.fs.basename(vim.api.nvim_buf_get_name(buffer))
    if vim.bo[buffer].filetype ~= "toml" or name == "bellhand.toml" then
      start(vim.fs.root(buffer, { "bellhand.toml", ".git" }))
    end
  end,
  init_options = require("bellhand").init_options(),
}
