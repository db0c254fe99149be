# Reads gauges.csv (x,y,value) from the folder given and writes answers.csv: the leave-one-out of
# ordinary kriging and inverse distance by gstat, for the models named in its columns.
suppressMessages({
  library(sp)
  library(gstat)
})
folder <- commandArgs(trailingOnly = TRUE)[1]
gauges <- read.csv(file.path(folder, "gauges.csv"))
coordinates(gauges) <- ~x+y
models <- list(
  spherical = vgm(2, "Sph", 60000, 0.1),
  exponential = vgm(1.5, "Exp", 20000, 0),
  gaussian = vgm(1, "Gau", 25000, 0.2),
  matern = vgm(1, "Mat", 15000, 0.05, kappa = 1.2)
)
answers <- data.frame(row.names = seq_len(nrow(gauges)))
for (name in names(models)) {
  for (neighbours in c(12, Inf)) {
    found <- krige.cv(value ~ 1, gauges, models[[name]], nmax = neighbours, verbose = FALSE)
    column <- paste0(name, if (is.finite(neighbours)) "_near" else "_all")
    answers[[column]] <- found$var1.pred
    answers[[paste0(column, "_var")]] <- found$var1.var
  }
}
for (power in c(1, 2, 3.5)) {
  found <- krige.cv(value ~ 1, gauges, nmax = 12, set = list(idp = power), verbose = FALSE)
  answers[[paste0("idw", power)]] <- found$var1.pred
}
write.csv(format(answers, digits = 17), file.path(folder, "answers.csv"), row.names = FALSE,
          quote = FALSE)
