-- What happens when Neovim starts: the server is enabled, the command is made, and fixing on save is prepared.
if vim.g.loaded_bellhand then
  return
end
vim.g.loaded_bellhand = true

if vim.fn.has("nvim-0.11") == 0 then
  vim.notify("bellhand needs Neovim 0.11 or newer", vim.log.levels.WARN)
  return
end

local bellhand = require("bellhand")
local group = vim.api.nvim_create_augroup("bellhand", {})

vim.api.nvim_create_autocmd("LspAttach", {
  group = group,
  desc = "bellhand: sounding pitches in the line, where they are wanted",
  callback = function(event)
    local client = vim.lsp.get_client_by_id(event.data.client_id)
    if client and client.name == "bellhand" and bellhand.options().sounding then
      vim.lsp.inlay_hint.enable(true, { bufnr = event.buf })
    end
  end,
})

vim.api.nvim_create_autocmd("BufWritePre", {
  group = group,
  desc = "bellhand: fix what keeps the music as it is before the file is written",
  callback = function(event)
    if bellhand.options().fix_on_save then
      bellhand.fix_all(event.buf)
    end
  end,
})

vim.api.nvim_create_user_command("Bellhand", function(command)
  bellhand.run(command.fargs)
end, {
  nargs = "+",
  desc = "bellhand: fix, explain, notes, picture, parser, restart",
  complete = function(lead, line)
    return bellhand.complete(lead, line)
  end,
})

if bellhand.options().enable then
  vim.lsp.enable("bellhand")
end
