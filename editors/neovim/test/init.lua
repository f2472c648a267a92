-- A user's own configuration, as small as it can be.
vim.g.bellhand = { path = vim.env.BELLHAND, sounding = true }
vim.opt.swapfile = false
