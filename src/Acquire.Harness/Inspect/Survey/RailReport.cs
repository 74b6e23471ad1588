namespace Acquire.Harness.Inspect.Survey;

/// <summary>What one channel does at one end of the converter's range.</summary>
/// <param name="Scans">Scans at the end code.</param>
/// <param name="Stays">Stretches of at least <see cref="RailWatch.ShortestStay"/> scans in a row at it.</param>
/// <param name="ScansInStays">Scans in these stretches.</param>
/// <param name="FirstStay">Index of the first scan of the first stretch; -1 where there is none.</param>
internal readonly record struct RailReport(long Scans, long Stays, long ScansInStays, long FirstStay);
