-- Builds the parsers: `nvim -l build.lua`. Plugin managers that know this name run it by themselves.
local here = vim.fs.dirname(vim.fs.abspath(debug.getinfo(1, "S").source:sub(2)))
package.path = here .. "/lua/?.lua;" .. here .. "/lua/?/init.lua;" .. package.path
local built, report = require("bellhand.parser").build()
for _, line in ipairs(report) do
  print(line)
end
assert(built, "bellhand: not all parsers could be built")
