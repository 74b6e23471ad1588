using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Sources.Names;

/// <summary>The decoder that a source's name asks for.</summary>
internal static class DecoderChoice
{
    public static Func<IScanReceiver, IByteDecoder> Read(NameOptions options, SourceChoices choices)
    {
        string kind = options.Word("decoder", "link", "link", "lines", "words");
        ScanFormat? known = choices.Setup?.Scan;
        IReadOnlyList<ChannelRole>? roles = options.Roles("channels");
        bool said = roles is not null || options.Has("bits") || options.Has("rate");
        ScanFormat format = new()
        {
            Roles = roles ?? known?.Roles ?? new ScanFormat().Roles,
            Bits = (int)options.Whole("bits", known?.Bits ?? new ScanFormat().Bits, 16),
            ScanRateHz = options.Has("rate") ? options.Quantity("rate", "Hz") : known?.ScanRateHz,
        };
        StreamDescription description = new() { Scan = format };
        switch (kind)
        {
            case "lines":
                TextLinesOptions usual = new() { Description = description };
                int? counter = options.Counter("numbered", usual.NumberBits, TextLinesOptions.LeastNumberBits, TextLinesOptions.MostNumberBits);
                TextLinesOptions lines = usual with { Numbered = counter is not null, NumberBits = counter ?? usual.NumberBits };
                lines.Validate();
                return receiver => new TextLinesDecoder(receiver, lines);
            case "words":
                RawWordsOptions words = new() { Description = description, ChannelInHighBits = options.Switch("tagged", "yes", "no") ?? false };
                words.Validate();
                return receiver => new RawWordsDecoder(receiver, words);
            default:
                format.Validate();
                LinkDecoderOptions link = new() { Assumed = said || known is not null ? description : null, Observer = choices.Observer };
                return receiver => new LinkDecoder(receiver, link);
        }
    }
}
