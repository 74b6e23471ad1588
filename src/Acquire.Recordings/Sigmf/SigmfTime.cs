using System.Globalization;

namespace Acquire.Recordings.Sigmf;

/// <summary>Times as the format wants them: RFC 3339 with Z and any number of fraction digits.</summary>
internal static class SigmfTime
{
    private const int SecondsEnd = 19;
    private const int TickDigits = 7;

    /// <summary>Reads a time; digits beyond 100 ns are dropped, a leap second becomes the second after it.</summary>
    public static bool TryParse(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        time = default;
        if (text.Length < SecondsEnd + 1 || text[^1] is not ('Z' or 'z')) return false;
        ReadOnlySpan<char> seconds = text[..SecondsEnd];
        bool leap = seconds[17..].SequenceEqual("60");
        Span<char> plain = stackalloc char[SecondsEnd];
        seconds.CopyTo(plain);
        if (plain[10] == 't') plain[10] = 'T';
        if (leap) "59".CopyTo(plain[17..]);
        if (!DateTime.TryParseExact(plain, "yyyy-MM-ddTHH:mm:ss", CultureInfo.InvariantCulture,
                DateTimeStyles.None, out DateTime whole))
        {
            return false;
        }

        long ticks = 0;
        ReadOnlySpan<char> rest = text[SecondsEnd..^1];
        if (!rest.IsEmpty)
        {
            if (rest[0] != '.' || rest.Length == 1) return false;
            ReadOnlySpan<char> digits = rest[1..];
            for (int i = 0; i < digits.Length; i++)
                if (!char.IsAsciiDigit(digits[i])) return false;
            for (int i = 0; i < TickDigits; i++)
                ticks = (ticks * 10) + (i < digits.Length ? digits[i] - '0' : 0);
        }

        if (leap) ticks += TimeSpan.TicksPerSecond;
        if (ticks > DateTime.MaxValue.Ticks - whole.Ticks) return false;
        time = new DateTimeOffset(whole.AddTicks(ticks), TimeSpan.Zero);
        return true;
    }

    /// <summary>Writes a time, in UTC, with as many fraction digits as it needs.</summary>
    public static string Format(DateTimeOffset time) =>
        time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture);
}
